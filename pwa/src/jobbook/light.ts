// The light beside the phone's camera, to look into a bore by. Nothing is asked of the person before
// the key is touched, and the camera is let go with the light.
import { useEffect, useState } from "preact/hooks";
import { useApp } from "../screen/context";
import { inPocket, putInPocket } from "../screen/pocket";
import { M } from "../text/mill";

const NONE = "datumbook.nolight";
/** How long the light waits for the next page that has its key. */
const BETWEEN = 1000;

let lit: MediaStreamTrack | undefined;
let asked = 0;
let keys = 0;
const listeners = new Set<() => void>();
const tell = () => listeners.forEach((hear) => hear());

/** Whether there may be one, as far as can be known without asking for the camera. */
async function mayLight(): Promise<boolean> {
  const media = navigator.mediaDevices as MediaDevices | undefined; // none where the page is not secure
  if (!media?.getSupportedConstraints || inPocket(NONE)) return false;
  if (!("torch" in media.getSupportedConstraints()) || !matchMedia("(pointer: coarse)").matches) return false;
  return (await media.enumerateDevices()).some((d) => d.kind === "videoinput");
}

/** Lets the camera go, and with it the light. */
export function dark(): void {
  asked++;
  lit?.stop();
  lit = undefined;
  tell();
}

const hasLight = (track: MediaStreamTrack): boolean =>
  !!(track.getCapabilities?.() as { torch?: boolean } | undefined)?.torch;

/** A camera with a light: the one at the back, else another one there. */
async function camera(): Promise<MediaStreamTrack | undefined> {
  const open = async (video: MediaTrackConstraints) =>
    (await navigator.mediaDevices.getUserMedia({ video })).getVideoTracks()[0];
  const first = await open({ facingMode: "environment" });
  if (!first || hasLight(first)) return first;
  const own = first.getSettings().deviceId;
  first.stop();
  for (const d of await navigator.mediaDevices.enumerateDevices()) {
    if (d.kind !== "videoinput" || d.deviceId === own || /front|user/i.test(d.label)) continue;
    const next = await open({ deviceId: { exact: d.deviceId } }).catch(() => undefined);
    if (next && hasLight(next)) return next;
    next?.stop();
  }
  return undefined;
}

type Why = "none" | "refused" | "busy";

/** Switches it on; why not, where it cannot be. */
export async function light(): Promise<Why | undefined> {
  const mine = ++asked;
  try {
    const track = await camera();
    if (!track) {
      putInPocket(NONE, true);
      return "none";
    }
    // Touched again, or gone, while the camera was asked for.
    if (mine !== asked) return void track.stop();
    lit = track;
    track.addEventListener("ended", dark);
    await track.applyConstraints({ advanced: [{ torch: true } as MediaTrackConstraintSet] });
    tell();
    return undefined;
  } catch (err) {
    if (mine === asked) dark();
    const { name } = err as Error;
    if (name === "NotAllowedError" || name === "SecurityError") return "refused";
    return name === "NotFoundError" || name === "OverconstrainedError" ? "none" : "busy";
  }
}

/** The key for the light in a page's head, where the phone may have one. */
export function useLight(): void {
  const { keyInHead, say } = useApp();
  const [can, setCan] = useState(false);
  const [, draw] = useState(0);
  const on = !!lit;
  useEffect(() => {
    let live = true;
    const hear = () => draw((n) => n + 1);
    const hide = () => document.visibilityState === "hidden" && dark();
    mayLight().then(
      (may) => live && setCan(may),
      () => undefined, // no key then
    );
    keys++;
    listeners.add(hear);
    document.addEventListener("visibilitychange", hide);
    addEventListener("pagehide", dark);
    return () => {
      live = false;
      keys--;
      listeners.delete(hear);
      document.removeEventListener("visibilitychange", hide);
      removeEventListener("pagehide", dark);
      setTimeout(() => keys === 0 && dark(), BETWEEN);
    };
  }, []);
  useEffect(() => {
    if (!can) return;
    const act = () => {
      if (lit) return dark();
      void light().then((why) => {
        if (why) say(M.light[why]);
        if (why === "none") setCan(false);
      });
    };
    keyInHead({ label: M.light.label, says: on ? M.light.off : M.light.on, on, act });
    return () => keyInHead(undefined);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes both anew each time
  }, [can, on]);
}
