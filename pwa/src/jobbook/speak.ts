// Reads readings aloud with a voice installed on the phone; nothing is sent out.

const voices = (): SpeechSynthesisVoice[] =>
  "speechSynthesis" in globalThis ? speechSynthesis.getVoices().filter((v) => v.localService) : [];

/** Whether the phone has a voice of its own; some say so only a moment after the start. */
export async function canSpeak(): Promise<boolean> {
  if (!("speechSynthesis" in globalThis)) return false;
  if (voices().length > 0) return true;
  await new Promise<void>((done) => {
    const t = setTimeout(done, 1500);
    speechSynthesis.addEventListener("voiceschanged", () => (clearTimeout(t), done()), { once: true });
  });
  return voices().length > 0;
}

/** As it is said: sign, point and each digit by itself, so that none is taken for another. */
export function spoken(text: string): string {
  return text
    .replace(/(^|[\s:,(])\+(?=[\d.])/g, "$1plus ")
    .replace(/(^|[\s:,(])[-\u2212\u2013](?=[\d.])/g, "$1minus ")
    .replace(/[\d.]*\d/g, (number) => [...number].join(" ").replace(/\./, "point").trim())
    .replace(/(\d) in\b/g, "$1 inches")
    .replace(/ thou\b/g, " thousandths")
    .replace(/ mm\b/g, " millimetres")
    .replace(/ um\b/g, " micrometres");
}

/** Stops what is being said. */
export function hush(): void {
  if ("speechSynthesis" in globalThis) speechSynthesis.cancel();
}

const away = () => document.visibilityState === "hidden" && hush();

/** Speaks a text, cutting off one still being spoken. */
export function speak(text: string): void {
  const all = voices();
  const lang = document.documentElement.lang || "en";
  const voice = all.find((v) => v.lang.startsWith(lang)) ?? all[0];
  if (!voice) return;
  hush();
  document.addEventListener("visibilitychange", away);
  const words = new SpeechSynthesisUtterance(spoken(text));
  words.voice = voice;
  words.lang = voice.lang;
  speechSynthesis.speak(words);
}
