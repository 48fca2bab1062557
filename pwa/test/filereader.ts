// What every browser has to read files with, and Node has not.
globalThis.FileReader = class extends EventTarget {
  result: unknown;
  onloadend?: (event: { target: unknown }) => void;
  readAsArrayBuffer(blob: Blob) {
    void blob.arrayBuffer().then((bytes) => this.end(bytes));
  }
  readAsBinaryString(blob: Blob) {
    void blob.arrayBuffer().then((bytes) => this.end(Buffer.from(bytes).toString("latin1")));
  }
  private end(result: unknown) {
    this.result = result;
    this.onloadend?.({ target: this });
  }
} as never;
