// Two ESLint rules that hold scripts and style sheets against the floor.
import ts from "typescript";
import { bcd, guarded, lacking } from "./floor.js";

const message =
  "{{what}} is not in {{where}}. Do without, or name it in floor/guarded.json with what is done where it is not there.";

const told = (context, node, what, entry, prefixed) => {
  const where = lacking(entry, prefixed);
  if (where.length > 0 && !guarded[what] && !guarded[what.split(":")[0]])
    context.report({ node, messageId: "old", data: { what, where: where.join(", ") } });
};

/** The interface of the platform or the language that declares something, and its name there. */
function declared(symbol) {
  for (const d of symbol?.declarations ?? []) {
    const file = d.getSourceFile().fileName;
    const lib = /\/lib\.(dom|webworker|es|scripthost)[^/]*\.d\.ts$/.exec(file);
    if (!lib) continue;
    const over = d.parent;
    const data = lib[1] === "es" ? bcd.javascript.builtins : bcd.api;
    if (ts.isInterfaceDeclaration(over)) return { data, owner: over.name.text, name: symbol.name };
    // declare var X: { new(): X; from(): X }
    if (ts.isTypeLiteralNode(over) && ts.isVariableDeclaration(over.parent))
      return { data, owner: over.parent.name.text, name: symbol.name, still: true };
    if (ts.isVariableDeclaration(d) || ts.isFunctionDeclaration(d))
      return { data, owner: "", name: symbol.name };
  }
  return undefined;
}

/** Its entry in the data; a constructor's object and the interfaces behind it go by other names there. */
function entryOf({ data, owner, name, still }, type) {
  if (!owner) return [name, data[name] ?? bcd.javascript.builtins[name]];
  for (const at of [
    type,
    owner.replace(/Constructor$/, ""),
    "Window",
    "Element",
    "Document",
    "HTMLElement",
  ]) {
    for (const key of still || owner.endsWith("Constructor") ? [`${name}_static`, name] : [name]) {
      if (Object.hasOwn(data, at) && Object.hasOwn(data[at], key)) return [`${at}.${name}`, data[at][key]];
    }
    if (at === type && !type) continue;
  }
  return [name, Object.hasOwn(data, name) ? data[name] : undefined];
}

export const scripts = {
  meta: { type: "problem", schema: [], messages: { old: message } },
  create(context) {
    const services = context.sourceCode.parserServices;
    const checker = services.program.getTypeChecker();
    const look = (node, symbol, type) => {
      const found = symbol && declared(symbol);
      if (!found) return;
      const [what, entry] = entryOf(found, type);
      told(context, node, what, entry);
    };
    return {
      MemberExpression(node) {
        if (node.computed) return;
        const of = services.getTypeAtLocation(node.object);
        look(
          node.property,
          services.getSymbolAtLocation(node.property),
          checker.getNonNullableType(of).symbol?.name,
        );
      },
      Identifier(node) {
        if (node.parent.type === "MemberExpression" && node.parent.property === node) return;
        if (/^TS|^Property$|Specifier$/.test(node.parent.type)) return;
        look(node, services.getSymbolAtLocation(node));
      },
    };
  },
};

export const styles = {
  meta: { type: "problem", schema: [], messages: { old: message } },
  create(context) {
    const css = bcd.css;
    let asked = 0;
    let prefixed = [];
    const at = (node, what, entry) =>
      asked === 0 && told(context, node, what, entry, prefixed.includes(what.split(":")[0]));
    return {
      Atrule(node) {
        if (node.name === "supports") asked++;
        at(node, `@${node.name}`, css["at-rules"][node.name]);
      },
      "Atrule:exit"(node) {
        if (node.name === "supports") asked--;
      },
      Feature(node) {
        at(node, `@media ${node.name}`, css["at-rules"].media[node.name]);
      },
      PseudoClassSelector(node) {
        at(node, `:${node.name}`, css.selectors[node.name]);
      },
      PseudoElementSelector(node) {
        at(node, `::${node.name}`, css.selectors[node.name]);
      },
      Block(node) {
        prefixed = [...node.children].flatMap((d) => /^-\w+-(.+)/.exec(d.property ?? "")?.[1] ?? []);
      },
      Declaration(node) {
        const name = node.property;
        if (name.startsWith("--")) return;
        const property = css.properties[name];
        at(node, name, property);
        const parts = [...(node.value.children ?? [])];
        for (const part of parts)
          if (part.type === "Identifier") at(part, `${name}: ${part.name}`, property?.[part.name]);
        // A shorthand that takes more than the line.
        if (name === "text-decoration" && parts.length > 1) {
          at(node, `${name} of ${parts.length}`, property["includes_color-and-style"]);
          at(
            node,
            `${name} with a thickness`,
            parts.some((p) => p.type === "Dimension") ? property.includes_thickness : undefined,
          );
        }
      },
      Function(node) {
        at(node, `${node.name}()`, css.types[node.name] ?? css.types.color?.[node.name]);
      },
      Dimension(node) {
        at(node, `a length in ${node.unit}`, css.types.length[node.unit]);
      },
    };
  },
};
