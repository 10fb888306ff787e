// Which meeting is this page of? Its code stands in the address; the facilitator's key is taken out of the
// address at once, since an address is seen by everyone who looks at a wall, and kept for this tab alone.

export interface Here {
  readonly code: string;
  /** "" where nobody gave this page a key. */
  readonly key: string;
  /** The element that the page fills. */
  readonly host: HTMLElement;
}

export function here(): Here {
  const host = document.getElementById("meet");
  if (!host) throw new Error("the page has no place to be shown in");
  const code = codeOfAddress();
  return { code, key: keyOf(code), host };
}

export function codeOfAddress(): string {
  return decodeURIComponent(location.pathname.split("/")[2] ?? "");
}

function keyOf(code: string): string {
  const [name, given] = [`slackwater meeting ${code} key`, decodeURIComponent(location.hash.slice(1))];
  if (given) history.replaceState(history.state, "", location.pathname + location.search);
  try {
    if (given) sessionStorage.setItem(name, given);
    return given || (sessionStorage.getItem(name) ?? "");
  } catch {
    return given; // a browser that keeps nothing: the key goes with the page
  }
}
