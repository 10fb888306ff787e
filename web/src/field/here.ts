// Where this phone is, asked of the browser only when somebody wants it.
import type { Place } from "./photo.ts";

const PATIENCE_MS = 15_000;

/** Null where it is not allowed or cannot be told. */
export function placeNow(): Promise<Place | null> {
  if (!("geolocation" in navigator)) return Promise.resolve(null);
  return new Promise((resolve) => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => resolve({ lat: coords.latitude, lon: coords.longitude }),
      () => resolve(null),
      { enableHighAccuracy: true, timeout: PATIENCE_MS, maximumAge: 10_000 },
    );
  });
}
