// Drawing elements from plain values, as `element` makes page elements.

/** The name every browser knows drawings by; nothing is fetched from it. */
const DRAWING = ["http:", "", "www.w3.org", "2000", "svg"].join("/");

type Attributes = Readonly<Record<string, string | number>>;

export function drawing<Name extends keyof SVGElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  children: readonly (Node | string)[] = [],
): SVGElementTagNameMap[Name] {
  const made = document.createElementNS(DRAWING, name) as SVGElementTagNameMap[Name];
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...children);
  return made;
}
