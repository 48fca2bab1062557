import reactHooks from "eslint-plugin-react-hooks";
import ts from "typescript-eslint";

export default ts.config(
  { ignores: ["dist/", "**/*.gen.ts"] },
  {
    files: ["**/*.{ts,tsx}"],
    extends: [ts.configs.recommendedTypeChecked],
    plugins: { "react-hooks": reactHooks },
    languageOptions: {
      parserOptions: {
        project: [
          "tsconfig.json",
          "src/engine/tsconfig.json",
          "src/app/sw/tsconfig.json",
          "test/tsconfig.json",
        ],
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
);
