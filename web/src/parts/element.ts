// Page elements from plain values; text always goes in as text.

type Attributes = Readonly<Record<string, string | number | undefined>>;

export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  children: readonly (Node | string)[] = [],
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== undefined) made.setAttribute(key, String(value));
  }
  made.append(...children);
  return made;
}
