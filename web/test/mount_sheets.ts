// Mounts and takes down what people with accounts meet, again and again; bundled by a test, never part of
// the page.
import { mountAccountSheet } from "../src/parts/account_sheet.ts";
import { mountPeopleSheet } from "../src/parts/people_sheet.ts";
import { mountSharedCases } from "../src/parts/shared_cases.ts";
import { mountSignIn } from "../src/parts/sign_in_screen.ts";
import { mountAccountDoor } from "../src/screens/account_door.ts";
import { me, readMe } from "../src/wire/me.ts";

export async function mountSheets(times: number): Promise<void> {
  await readMe();
  const nothing = (): void => undefined;
  for (let time = 0; time < times; time += 1) {
    const host = document.createElement("div");
    document.body.append(host);
    const sheets = [mountAccountSheet(host, nothing), mountPeopleSheet(host), mountSharedCases(host, "CDL")];
    for (const { open } of sheets) open();
    const door = mountAccountDoor(host, host, nothing);
    await new Promise((resolve) => setTimeout(resolve, 5));
    for (const dispose of [door, ...sheets.map((each) => each.dispose)]) dispose();
    mountSignIn(host, me(), nothing)();
    if (host.childNodes.length) throw new Error(`left behind: ${host.innerHTML.slice(0, 200)}`);
    host.remove();
  }
}
