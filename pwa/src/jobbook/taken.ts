import { text, type Rec } from "../records/fields";
import { prefs } from "../screen/prefs";

/** What a reading says of when, by whom and with what it was taken. */
export const takenNow = (setup: Rec) => ({
  when: new Date().toISOString(),
  who: prefs().who.trim() || undefined,
  gauge: text(setup, "indicator") || undefined,
});
