// Photos of a stop: taken, made smaller here, shown small, each with whether it is sent.
import { element } from "../parts/element.ts";
import type { Form } from "../wire/field.ts";
import { StoreError } from "./db.ts";
import { placeNow } from "./here.ts";
import { addPhoto, type Held, type Of, photoOf } from "./notebook.ts";
import { shrink, thumbnail } from "./photo.ts";
import { send } from "./sending.ts";
import { bytesWords, many } from "./words.ts";

const SMALL_PX = 96;

export interface PhotoCard {
  readonly element: HTMLElement;
  readonly refresh: (photos: readonly Held[]) => void;
}

export function makePhotoCard(form: Form, of: Of, placeAllowed: () => boolean, byWhom: () => string): PhotoCard {
  const input = element("input", { id: "f-photo", type: "file", accept: "image/*", capture: "environment", class: "unseen" });
  const told = element("p", { class: "told", role: "status" });
  const shown = element("ul", { class: "photos" });
  const drawnFor = new Map<string, HTMLLIElement>();

  input.addEventListener("change", () => {
    const file = input.files?.[0];
    if (file) void keep(file);
    input.value = "";
  });

  async function keep(file: File): Promise<void> {
    told.textContent = "Making the photo smaller…";
    try {
      const place = placeAllowed() ? await placeNow() : null;
      const jpeg = await shrink(file, place);
      await addPhoto(of, byWhom(), jpeg, place !== null);
      void send();
      told.textContent = `Photo kept: ${bytesWords(jpeg.byteLength)}${place ? ", with the place" : ", without the place"}.`;
    } catch (error) {
      if (error instanceof StoreError) told.textContent = `The photo could not be kept on this phone (${error.message}).`;
      else told.textContent = error instanceof Error && !(error instanceof DOMException) ? error.message : "This file cannot be read as a photo.";
    }
  }

  async function item(held: Held): Promise<HTMLLIElement> {
    const made = element("li", {}, [element("span", { class: "photo-state" })]);
    const photo = await photoOf(held.note.id);
    if (photo) made.prepend(await thumbnail(photo.jpeg, SMALL_PX));
    return made;
  }

  async function refresh(photos: readonly Held[]): Promise<void> {
    for (const held of photos) {
      const made = drawnFor.get(held.note.id) ?? (await item(held).catch(() => element("li", {}, [element("span", { class: "photo-state" })])));
      drawnFor.set(held.note.id, made);
      const state = made.querySelector(".photo-state");
      if (state) state.textContent = held.state === "sent" ? "sent" : held.state === "refused" ? `not taken: ${held.why ?? ""}` : "not yet sent";
      if (!made.isConnected) shown.append(made);
    }
    shown.setAttribute("aria-label", many(photos.length, "photo"));
  }

  return {
    refresh: (photos) => void refresh(photos),
    element: element("section", { class: "card", "data-field": "photo" }, [
      element("h3", {}, [form.label]),
      element("div", { class: "entry" }, [input, element("label", { for: "f-photo", class: "button photo-take" }, ["Take a photo"])]),
      told,
      shown,
      element("p", { class: "how" }, [form.how]),
      ...(form.caution ? [element("p", { class: "caution" }, [element("span", { class: "sign", "aria-hidden": "true" }, ["!"]), form.caution])] : []),
    ]),
  };
}
