// Reads readings aloud with a voice installed on the phone; nothing is sent out.

const voices = (): SpeechSynthesisVoice[] =>
  "speechSynthesis" in window ? speechSynthesis.getVoices().filter((v) => v.localService) : [];

/** Whether the phone has a voice of its own; some say so only a moment after the start. */
export async function canSpeak(): Promise<boolean> {
  if (!("speechSynthesis" in window)) return false;
  if (voices().length > 0) return true;
  await new Promise<void>((done) => {
    const t = setTimeout(done, 1500);
    speechSynthesis.addEventListener("voiceschanged", () => (clearTimeout(t), done()), { once: true });
  });
  return voices().length > 0;
}

/** Speaks a text, cutting off one still being spoken. */
export function speak(text: string): void {
  const all = voices();
  const lang = document.documentElement.lang || "en";
  const voice = all.find((v) => v.lang.startsWith(lang)) ?? all[0];
  if (!voice) return;
  speechSynthesis.cancel();
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice;
  words.lang = voice.lang;
  speechSynthesis.speak(words);
}
