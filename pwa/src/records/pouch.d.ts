// Types of the part of PouchDB that is used here: strict, and nothing beside it.
declare module "pouchdb-core" {
  export interface Stored {
    _id: string;
    _rev: string;
  }

  export interface ChangeRow {
    id: string;
    seq: number;
    changes: { rev: string }[];
    deleted?: boolean;
    doc?: Stored & Record<string, unknown>;
  }

  export interface Feed<Result> extends Promise<Result> {
    on(event: string, listener: (value: never) => void): void;
    cancel(): void;
  }

  export interface Failure {
    status?: number;
    name?: string;
    message?: string;
    reason?: string;
    id?: string;
    rev?: string;
  }

  interface BulkGot {
    results: { id: string; docs: { ok?: Stored & Record<string, unknown>; error?: unknown }[] }[];
  }

  export default class PouchDB {
    constructor(name: string, options?: Record<string, unknown>);
    static plugin(plugin: unknown): typeof PouchDB;
    name: string;
    info(): Promise<{ update_seq: number; doc_count: number }>;
    get<T>(id: string, options?: Record<string, unknown>): Promise<T>;
    put(doc: object): Promise<{ ok: boolean; id: string; rev: string }>;
    allDocs(
      options: Record<string, unknown>,
    ): Promise<{ rows: { id: string; doc?: Stored & Record<string, unknown> }[] }>;
    bulkDocs(docs: object[], options?: Record<string, unknown>): Promise<(Failure & { error?: unknown })[]>;
    getAttachment(id: string, name: string, options?: Record<string, unknown>): Promise<Blob>;
    bulkGet(options: Record<string, unknown>): Promise<BulkGot>;
    revsDiff(revs: Record<string, string[]>): Promise<Record<string, { missing: string[] }>>;
    changes(options: Record<string, unknown>): Feed<{ results: ChangeRow[]; last_seq: number }>;
    close(): Promise<void>;
    destroy(): Promise<void>;
  }
}

declare module "pouchdb-adapter-idb" {
  const plugin: unknown;
  export default plugin;
}
