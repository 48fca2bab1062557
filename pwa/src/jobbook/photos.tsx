import { useEffect, useRef, useState } from "preact/hooks";
import { byMade, text, type Rec } from "../records/fields";
import type { Born, Repository } from "../records/repository";
import { askToKeep } from "../storage/persist";
import { useApp, when } from "../screen/context";
import { Button } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { prefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { shrink } from "./photo";
import { dark } from "./light";
import { keepShown, shownIn } from "./shown";
import { Remove, storeFault, takeBack, useDraft, useRepository } from "./use";

/** Stores a photo of something; what stopped it is thrown in plain words. */
export async function keepPhoto(
  repo: Repository,
  about: string,
  place: string,
  file: Blob,
  born?: Born,
): Promise<Rec> {
  const { image, thumb, wide, high } = await shrink(file);
  const rec = await repo.make(
    "photo",
    { about, ...(place && { place }), image: "image.jpg", taken: new Date().toISOString(), wide, high },
    { files: { "image.jpg": image, "thumb.jpg": thumb }, ...(born && { born }) },
  );
  void askToKeep();
  return rec;
}

/**
 * Takes or chooses a photo and keeps it. Each button is a real file field; with `capture` phones
 * open the camera.
 */
export function TakePhoto({
  repo,
  about,
  place = "",
  big = false,
}: {
  repo: Repository;
  about: string;
  /** The place on it that the picture shows. */
  place?: string;
  big?: boolean;
}) {
  const { say } = useApp();
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState("");
  // A camera's picture exists nowhere else: one that could not be stored is held here.
  const [held, hold] = useState<File>();
  const take = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    setFault("");
    hold(undefined);
    try {
      const rec = await keepPhoto(repo, about, place, file);
      say(B.photo.done, () => takeBack(say, repo.remove(rec)));
    } catch (err) {
      if ((err as Error).name === "NoPicture") return setFault((err as Error).message);
      setFault(storeFault(err));
      hold(file);
    } finally {
      setBusy(false);
    }
  };
  return (
    <div class="take-photo">
      <div class={big ? "" : "form-foot"}>
        <Pick
          class={big ? "hand" : "button"}
          label={big ? B.mill.photo : B.photo.take}
          busy={busy}
          camera
          take={take}
        />
        {!big && <Pick class="button" label={B.photo.choose} busy={busy} take={take} />}
      </div>
      <FaultLine id={`photo-fault-${about}`} text={fault || undefined} />
      {held && <Button class="button again" label={B.photo.again} act={() => void take(held)} />}
    </div>
  );
}

function Pick(p: {
  class: string;
  label: string;
  busy: boolean;
  camera?: boolean;
  take: (file: File | undefined) => Promise<void>;
}) {
  const pick = useRef<HTMLInputElement>(null);
  return (
    <>
      <Button
        class={p.class}
        label={p.busy ? B.photo.shrinking : p.label}
        disabled={p.busy}
        act={() => {
          if (p.camera) dark(); // two cannot have the camera
          pick.current?.click();
        }}
      />
      <input
        ref={pick}
        class="hidden"
        type="file"
        accept="image/*"
        {...(p.camera ? { capture: "environment" as const } : {})}
        aria-label={p.label}
        tabIndex={-1}
        onChange={(e) => {
          void p.take(e.currentTarget.files?.[0]);
          e.currentTarget.value = "";
        }}
      />
    </>
  );
}

/** An image that is loaded from the job book when it scrolls into view. */
function Stored({
  repo,
  rec,
  which,
  alt,
}: {
  repo: Repository;
  rec: Rec;
  which: "thumb.jpg" | "image.jpg";
  alt: string;
}) {
  const [url, setUrl] = useState("");
  const [missing, setMissing] = useState(false);
  const name = rec.files.includes(which) ? which : text(rec, "image") || rec.files[0] || which;
  useEffect(() => {
    let live = true;
    let made = "";
    repo.file(rec.id, name).then(
      (blob) => {
        if (!live) return;
        if (!blob) return setMissing(true);
        made = URL.createObjectURL(blob);
        setUrl(made);
      },
      () => live && setMissing(true),
    );
    return () => {
      live = false;
      if (made) URL.revokeObjectURL(made);
    };
  }, [repo, rec.id, name]);
  if (missing) return <span class="quiet">{B.photo.away}</span>;
  return url ? <img src={url} alt={alt} /> : <span class="thumb-wait" aria-hidden="true" />;
}

/** The photos of one thing, small; one opened fills the screen. */
export function Photos({
  about,
  place = "",
  title = true,
  take = true,
}: {
  about: string;
  place?: string;
  title?: boolean;
  /** With the keys that take one. */
  take?: boolean;
}) {
  const { repo } = useRepository("photo");
  const [open, setOpen] = useState("");
  const box = useRef<HTMLDialogElement>(null);
  const list = (repo?.all("photo") ?? [])
    .filter((p) => text(p, "about") === about && (!place || text(p, "place") === place))
    .sort(byMade);
  const shown = list.find((p) => p.id === open);
  useEffect(() => {
    if (!shown || box.current?.open) return;
    box.current?.showModal();
    // Not the field: that would open the keyboard over the photo.
    box.current?.querySelector<HTMLElement>(".go")?.focus({ preventScroll: true });
  }, [shown]);
  if (!repo || (!take && list.length === 0)) return null;
  const label = (p: Rec) => text(p, "name") || `${B.photo.unnamed} ${when(p.made)}`;
  return (
    <section class="card photos" aria-label={B.photos}>
      {title && <h2>{B.photos}</h2>}
      {title && list.length === 0 && <p class="quiet">{B.photo.none}</p>}
      <ul class="thumbs">
        {list.map((p) => (
          <li key={p.id}>
            <button
              type="button"
              class="thumb"
              aria-label={B.photo.open(label(p))}
              onClick={() => setOpen(p.id)}
            >
              <Stored repo={repo} rec={p} which="thumb.jpg" alt="" />
              <span>{label(p)}</span>
            </button>
          </li>
        ))}
      </ul>
      {take && <TakePhoto repo={repo} about={about} place={place} />}
      <dialog
        ref={box}
        class="photo-box"
        onClose={() => setOpen("")}
        aria-label={shown ? label(shown) : B.photos}
      >
        {shown && (
          <>
            <Stored key={shown.id} repo={repo} rec={shown} which="image.jpg" alt={label(shown)} />
            <NameIt repo={repo} rec={shown} />
            <div class="form-foot">
              <Button go label={B.photo.close} act={() => box.current?.close()} />
              <Remove repo={repo} rec={shown} name={label(shown)} first={() => box.current?.close()} />
            </div>
          </>
        )}
      </dialog>
    </section>
  );
}

function NameIt({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  const [typed, put, clear] = useDraft(`photo ${rec.id}`, { name: text(rec, "name") });
  const shown = useRef(shownIn(rec.id, typed) ?? rec); // when the field was touched
  const keep = () => {
    const name = typed["name"]!.trim();
    if (name === text(rec, "name")) return clear({ name });
    repo.change(shown.current, { name: name || null }, prefs().unit).then(
      (now) => {
        shown.current = now;
        clear({ name });
        if (now.met.length > 0) say(B.clash.met);
      },
      (err: unknown) => say(storeFault(err)),
    );
  };
  // What was dictated and not ended before the page went away.
  // eslint-disable-next-line react-hooks/exhaustive-deps -- once, as the photo opens
  useEffect(keep, []);
  return (
    <div class="field">
      <label for={`name-${rec.id}`}>{B.photo.name}</label>
      <input
        id={`name-${rec.id}`}
        type="text"
        maxLength={200}
        value={typed["name"]}
        onFocus={() => (shown.current = rec)}
        onInput={(e) => put({ ...keepShown(shown.current), name: e.currentTarget.value })}
        onChange={keep}
      />
    </div>
  );
}
