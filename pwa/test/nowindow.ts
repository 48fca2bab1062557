// What a screen's modules ask of a browser as they are read, for those that are tested without one.
Object.defineProperty(globalThis, "matchMedia", {
  value: () => ({ matches: false, addEventListener: () => undefined }),
  configurable: true,
});
Object.defineProperty(globalThis, "addEventListener", { value: () => undefined, configurable: true });
