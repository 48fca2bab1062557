import css from "@eslint/css";
import reactHooks from "eslint-plugin-react-hooks";
import ts from "typescript-eslint";
import * as floor from "./floor/rules.js";

export default ts.config(
  { ignores: ["dist/", "**/*.gen.ts"] },
  {
    files: ["**/*.{ts,tsx}"],
    extends: [ts.configs.recommendedTypeChecked],
    plugins: { "react-hooks": reactHooks },
    languageOptions: {
      parserOptions: {
        project: ["tsconfig.lint.json", "src/engine/tsconfig.json", "src/app/sw/tsconfig.json"],
        tsconfigRootDir: import.meta.dirname,
      },
    },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      // Node's test() gives a promise that only a test within a test has to wait for.
      "@typescript-eslint/no-floating-promises": [
        "error",
        { allowForKnownSafeCalls: [{ from: "package", name: "test", package: "node:test" }] },
      ],
      "@typescript-eslint/no-unused-vars": ["error", { ignoreRestSiblings: true }],
      "react-hooks/rules-of-hooks": "error",
      "react-hooks/exhaustive-deps": "error",
    },
  },
  // Nothing that the oldest browsers of the floor have not.
  {
    files: ["src/**/*.{ts,tsx}"],
    plugins: { floor: { rules: floor } },
    rules: { "floor/scripts": "error" },
  },
  {
    files: ["src/**/*.css"],
    language: "css/css",
    plugins: { css, floor: { rules: floor } },
    rules: { "floor/styles": "error" },
  },
);
