// Who calls: the token goes with what changes something, a refusal for want of it or of a session is mended
// once, and nothing is done in somebody else's name.
import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { daysOf, rolesText } from "../src/core/role_words.ts";
import { ask, AskError, leave } from "../src/wire/ask.ts";
import { keepLeave, me, readMe } from "../src/wire/me.ts";

interface Sent {
  readonly address: string;
  readonly method: string;
  readonly token: string | null;
}

const ADA = { accounts: true, name: "ada", roles: ["lead"], viewer: "lead", csrf: "new", ways: ["password"], public_map: false, ended: false };
let sent: Sent[] = [];

/** Answers by address, in order; the last one of an address stays. */
function answering(answers: Readonly<Record<string, readonly [status: number, body: unknown][]>>): void {
  const left = new Map(Object.entries(answers).map(([address, all]) => [address, [...all]]));
  globalThis.fetch = ((address: string, { method, headers }: { method: string; headers: Record<string, string> }) => {
    sent.push({ address, method, token: headers["X-Slackwater-Csrf"] ?? null });
    const all = left.get(address) ?? [];
    const [status, body] = (all.length > 1 ? all.shift() : all[0]) ?? [404, null];
    return Promise.resolve(new Response(status === 204 ? null : JSON.stringify(body), { status }));
  }) as typeof fetch;
}

const refused = (status: number, code: string): [number, unknown] => [status, { error: { code, message: code } }];
const changes = (): Promise<unknown> => ask("/api/edits", undefined, { method: "POST", body: {} });

async function isAda(csrf = "old"): Promise<void> {
  answering({ "/api/me": [[200, { ...ADA, csrf }]] });
  await readMe();
  sent = [];
}

beforeEach(() => {
  sent = [];
});

test("the token goes with what changes something, and with nothing that only reads", async () => {
  await isAda();
  answering({ "/api/edits": [[200, {}]], "/api/why": [[200, {}]] });
  await changes();
  await ask("/api/why");
  assert.deepEqual(sent.map(({ token }) => token), ["old", null]);
});

test("an old token is asked for anew once, and the change is sent once more", async () => {
  await isAda();
  const stop = keepLeave(() => Promise.reject(new Error("nobody is to be asked")));
  answering({ "/api/edits": [refused(403, "csrf"), [200, { done: 1 }]], "/api/me": [[200, ADA]] });
  assert.deepEqual(await changes(), { done: 1 });
  assert.deepEqual(sent.map(({ address, token }) => [address, token]), [["/api/edits", "old"], ["/api/me", null], ["/api/edits", "new"]]);
  answering({ "/api/edits": [refused(403, "csrf")], "/api/me": [[200, ADA]] });
  sent = [];
  await assert.rejects(changes(), (error: AskError) => error.code === "csrf");
  assert.equal(sent.length, 3);
  stop();
});

test("a session that ended is asked for once, however many wait for it", async () => {
  await isAda();
  let [asked, into] = [0, (_: boolean): void => undefined];
  const stop = keepLeave(() => {
    asked += 1;
    return new Promise((resolve) => (into = resolve));
  });
  answering({ "/api/why": [refused(401, "sign_in_needed"), refused(401, "sign_in_needed"), [200, { why: 1 }]], "/api/me": [[200, { ...ADA, name: "", roles: [], csrf: "" }]] });
  const both = Promise.all([ask("/api/why"), ask("/api/why")]);
  await new Promise((resolve) => setTimeout(resolve, 5));
  assert.equal(asked, 1);
  into(true);
  assert.deepEqual(await both, [{ why: 1 }, { why: 1 }]);
  answering({ "/api/why": [refused(401, "sign_in_needed")], "/api/me": [[200, { ...ADA, name: "" }]] });
  const put = ask("/api/why");
  await new Promise((resolve) => setTimeout(resolve, 5));
  into(false);
  await assert.rejects(put, (error: AskError) => error.status === 401);
  assert.equal(me().name, "ada");
  stop();
});

test("on an open map an answer to a session that ended is asked for again, or known to be the public's", async () => {
  const stranger = { ...ADA, public_map: true, name: "", roles: ["public"], csrf: "", ended: true };
  answering({ "/api/me": [[200, { ...ADA, public_map: true }]] });
  await readMe();
  let [asked, putOff] = [0, false];
  const stop = keepLeave(() => {
    asked += 1;
    putOff = asked > 1;
    return Promise.resolve(!putOff);
  }, () => putOff);
  answering({ "/api/why": [[200, { why: "public" }], [200, { why: "whole" }]], "/api/me": [[200, stranger]] });
  assert.deepEqual(await ask("/api/why"), { why: "whole" });
  answering({ "/api/why": [[200, { why: "public" }]], "/api/me": [[200, stranger]] });
  assert.deepEqual(await ask("/api/why"), { why: "public" });
  assert.equal(asked, 2);
  sent = [];
  assert.deepEqual(await ask("/api/why"), { why: "public" });
  assert.deepEqual(sent.map(({ address }) => address), ["/api/why"]);
  assert.equal(me().name, "ada");
  stop();
});

test("somebody else's session is never taken up, and a real refusal is told as it is", async () => {
  await isAda();
  const stop = keepLeave(() => Promise.reject(new Error("nobody is to be asked")));
  answering({ "/api/edits": [refused(403, "csrf")], "/api/me": [[200, { ...ADA, name: "grace" }]] });
  await assert.rejects(changes(), /grace is signed in here now/);
  assert.equal(leave.token, "old");
  answering({ "/api/edits": [refused(403, "not_allowed")], "/api/me": [[200, ADA]] });
  await assert.rejects(changes(), /not_allowed/);
  answering({ "/api/password": [refused(401, "sign_in_refused")] });
  sent = [];
  await assert.rejects(ask("/api/password", undefined, { method: "POST", body: {} }), /sign_in_refused/);
  assert.equal(sent.length, 1);
  stop();
});

test("roles are words, and days are whole and few", () => {
  assert.equal(rolesText(["admin", "lead"]), "Admin and lead");
  assert.equal(rolesText(["admin", "field", "viewer"]), "Admin, field and viewer");
  assert.equal(rolesText([]), "No role");
  assert.deepEqual(["1", " 365 ", "0", "366", "1.5", "", "x"].map(daysOf), [1, 365, null, null, null, null, null]);
});
