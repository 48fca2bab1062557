// The job book's part in a worksheet: a file of its own, so that a worksheet does not wait for the
// job book's screens.
export { prefillAll } from "./prefill";
export { offers, writeBack } from "./keeping";
export { After } from "./outcome";
