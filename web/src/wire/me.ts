// Who calls, as the service knows them: name, roles, ways to sign in. Where there are no accounts, whoever
// calls is the lead, and nothing of this is seen.
import { ask, AskError, leave } from "./ask.ts";

export const ROLES = ["viewer", "field", "scientist", "lead", "admin"] as const;
export type Role = (typeof ROLES)[number];
export type Way = "password" | "header" | "oidc";

export interface Me {
  readonly accounts: boolean;
  /** "" for somebody without an account. */
  readonly name: string;
  /** None for somebody who may see nothing. */
  readonly roles: readonly (Role | "public")[];
  readonly viewer: string;
  readonly csrf: string;
  readonly ways: readonly Way[];
  readonly public_map: boolean;
  /** Whether the browser still holds a session that is over. */
  readonly ended: boolean;
}

let now: Me = { accounts: false, name: "", roles: ["lead"], viewer: "lead", csrf: "", ways: [], public_map: false, ended: false };
let signedIn = false;

export function me(): Me {
  return now;
}

/** Whether whoever calls holds a role. */
export function isA(role: Role): boolean {
  return now.roles.includes(role);
}

export async function readMe(signal?: AbortSignal): Promise<Me> {
  return take(await askMe(signal));
}

export async function signIn(name: string, password: string): Promise<Me> {
  const told = take(await ask<Me>("/api/sign-in", undefined, { method: "POST", body: { name, password }, final: true }));
  signedIn = true;
  return told;
}

/** Whether somebody signed in on this page since this was asked. */
export function justSignedIn(): boolean {
  const was = signedIn;
  signedIn = false;
  return was;
}

export async function signOut(): Promise<void> {
  await ask("/api/sign-out", undefined, { method: "POST", final: true });
  now = { ...now, ended: false };
}

export function changePassword(old: string, next: string): Promise<unknown> {
  return ask("/api/password", undefined, { method: "POST", body: { old, new: next } });
}

/** Where the organisation's own sign-in begins. */
export const ELSEWHERE = "/api/sign-in/oidc";

/** Asks for a sign-in over the page; false where it was put off. */
export type SignInAgain = () => Promise<boolean>;

/** What is answered without a session, with another's token, or where the public may come in too. */
const ENDED = ["sign_in_needed", "csrf", "not_allowed"];

/** From here on a refusal for want of a session or of its token is mended where it can be. On a map open to
 * the public it is found out too that answers are the public's; `putOff` says whether that is known. */
export function keepLeave(signInAgain: SignInAgain, putOff: () => boolean = () => false): () => void {
  let asking: Promise<boolean> | null = null;
  let looking: Promise<boolean> | null = null;
  leave.hasEnded = () => {
    if (!now.public_map || !now.name || putOff()) return Promise.resolve(false);
    looking ??= askMe().then((told) => told.name !== now.name, () => false).finally(() => (looking = null));
    return looking;
  };
  leave.renew = async (refused) => {
    if (!now.name || !ENDED.includes(refused.code)) return false;
    if (await isStillMe()) return refused.code !== "not_allowed";
    if (putOff()) return false; // it is said on the page, with the way back in
    asking ??= signInAgain().finally(() => (asking = null));
    return asking;
  };
  return () => {
    leave.renew = leave.hasEnded = () => Promise.resolve(false);
  };
}

/** Another tab, or whoever stands before the service, may have signed in again, or somebody else. */
export async function isStillMe(): Promise<boolean> {
  const told = await askMe();
  if (!told.name) return false;
  if (told.name !== now.name) {
    throw new AskError("somebody_else", `${told.name} is signed in here now. Load the page again to go on as ${told.name}.`, 403);
  }
  take(told);
  return true;
}

function askMe(signal?: AbortSignal): Promise<Me> {
  return ask<Me>("/api/me", signal, { final: true });
}

function take(told: Me): Me {
  leave.token = told.csrf;
  return (now = told);
}
