// The way out with no network: everything in one file, read in elsewhere without doubling anything.

export interface ImportReport {
  /** Records in the file. */
  read: number;
  /** Of them, new here or newer than what was here. */
  added: number;
  /** Already here. */
  already: number;
}
