// Photos that were shared to the app from elsewhere on the phone: a box on disk, in which the service
// worker puts them before it answers, and from which a photo goes once it is kept as a record.
import { chance } from "./chance";

/** A photo in the box. Its record is named by when it came, so that it is made once. */
export interface Shared {
  ms: number;
  chance: string;
  file: Blob;
}

const BOX = "photos";

/** Opens the box. One that is only looked into is not made. */
function open(make: boolean): Promise<IDBDatabase> {
  return new Promise((done, fail) => {
    const asked = indexedDB.open("datumbook-shared", 1);
    asked.onupgradeneeded = () => {
      if (make) asked.result.createObjectStore(BOX, { keyPath: "chance" });
      else asked.transaction?.abort();
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error!);
  });
}

/** One transaction; what it wrote is on disk when it is fulfilled. */
async function work<T>(db: IDBDatabase, does: (box: IDBObjectStore) => IDBRequest<T>[]): Promise<T[]> {
  const going = db.transaction(BOX, "readwrite", { durability: "strict" });
  const ends = new Promise<void>((done, fail) => {
    going.oncomplete = () => done();
    going.onabort = () => fail(going.error!);
  });
  try {
    const asked = does(going.objectStore(BOX));
    await ends;
    return asked.map((a) => a.result);
  } catch (err) {
    ends.catch(() => undefined); // it is told here
    if (!going.error) going.abort(); // or what was asked before would stand
    throw err;
  } finally {
    db.close();
  }
}

/** Puts photos into the box: all of them, or none where there is no room. */
export async function putShared(files: readonly Blob[]): Promise<void> {
  const photos = files.map((file, i): Shared => ({ ms: Date.now() + i, chance: chance(20), file }));
  await work(await open(true), (box) => photos.map((p) => box.put(p)));
}

/** What waits in the box, as it came. */
export async function shared(): Promise<Shared[]> {
  const db = await open(false).catch(() => undefined); // none was ever shared
  const [all = []] = db ? await work(db, (box) => [box.getAll() as IDBRequest<Shared[]>]) : [];
  return all.sort((a, b) => a.ms - b.ms);
}

/** Takes one out, once it is kept or nobody wants it. */
export async function dropShared(photo: Shared): Promise<void> {
  await work(await open(true), (box) => [box.delete(photo.chance)]);
}

/** Puts one back that was taken out. */
export async function putBack(photo: Shared): Promise<void> {
  await work(await open(true), (box) => [box.put(photo)]);
}
