// Prints what the platform and the language have that not all browsers of the floor have, as JSON: a
// test takes it away before the app starts.
import { bcd, lacking } from "./floor.js";

const out = [];
for (const data of [bcd.javascript.builtins, bcd.api]) {
  for (const [owner, members] of Object.entries(data)) {
    if (!/^[A-Za-z]\w*$/.test(owner)) continue;
    if (lacking(members).length > 0) {
      out.push([owner]);
      continue;
    }
    for (const [name, entry] of Object.entries(members)) {
      if (!/^[a-z]\w*$/i.test(name) || !entry.__compat || lacking(entry).length === 0) continue;
      out.push(
        name.endsWith("_static") ? [owner, name.slice(0, -"_static".length)] : [owner, "prototype", name],
      );
    }
  }
}
process.stdout.write(JSON.stringify(out));
