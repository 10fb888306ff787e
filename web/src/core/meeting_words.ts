// A meeting's code as it is read, how long it may last, and the command that opens it where phones reach it.

export const [LEAST_HOURS, MOST_HOURS, USUAL_HOURS] = [1, 24, 6];
export const HOURS_WRONG = `From ${LEAST_HOURS} to ${MOST_HOURS} hours, as a whole number.`;

/** Hours that can be meant; null where they cannot. */
export function hoursOf(text: string): number | null {
  const hours = Number(text.trim());
  return text.trim() !== "" && Number.isInteger(hours) && hours >= LEAST_HOURS && hours <= MOST_HOURS ? hours : null;
}

/** Plain to every shell: letters, figures and spaces, nothing a shell would take for more. */
const PLAIN = /^[\p{L}\p{N}][\p{L}\p{N} .,_-]*$/u;

/** A name somebody else chose is never handed to a shell unless it is plain; its id always is. */
export function meetCommand(caseId: string, name: string): string {
  return `slackwater meet "${PLAIN.test(name) ? name : caseId}" --open-to-network`;
}

/** A meeting code as it is read aloud: "K7R M4P". */
export function spacedCode(code: string): string {
  return code.length === 6 ? `${code.slice(0, 3)}\u00a0${code.slice(3)}` : code;
}
