// Words that the wall, the phone and the facilitator's page share.

const FIXED = "\u00a0";

/** A meeting code as it is read aloud: "K7R M4P". */
export function spacedCode(code: string): string {
  return code.length === 6 ? `${code.slice(0, 3)}${FIXED}${code.slice(3)}` : code;
}

/** "1 phone joined", "24 phones joined". */
export function phonesWords(count: number): string {
  return count === 0 ? "no phone joined yet" : `${counted(count, "phone")} joined`;
}

/** "24 weightings tried". */
export function triedWords(count: number): string {
  return count === 0 ? "no weighting tried yet" : `${counted(count, "weighting")} tried`;
}

export function counted(count: number, one: string, more = `${one}s`): string {
  return `${count}${FIXED}${count === 1 ? one : more}`;
}

/** Of this device's own clock: "10:42". */
export function clock(at: Date): string {
  return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" }).format(at);
}

export function lostWords(since: Date): string {
  return `Not connected since ${clock(since)}; this is what stood then.`;
}
