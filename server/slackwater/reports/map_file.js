// Shows FACTS on MAP; every text becomes a text node, never markup.
function element(name, className, text) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (text) made.textContent = text;
  return made;
}

function showFacts({ heads, legend, flows, notes }) {
  const side = document.getElementById("facts");
  side.append(element("h1", "", heads.title));
  side.append(element("p", "headline", heads.headline), element("p", "", heads.way));
  const signs = element("ul", "legend");
  for (const { sign, words, count } of legend) {
    const line = element("li");
    line.innerHTML = SIGNS[sign];
    line.append(`${words} · ${count}`);
    signs.append(line);
  }
  side.append(element("h2", "", "Legend"), signs);
  if (flows) side.append(element("p", "small", flows));
  side.append(element("h2", "", "Cautions"));
  for (const words of notes.cautions) side.append(element("p", "small", words));
  side.append(element("h2", "", "From"));
  for (const words of notes.stamp) side.append(element("p", "small", words));
}

function popupOf({ code, words, facts }) {
  const body = element("div");
  const list = element("dl");
  for (const [term, value] of [["state", words], ...facts]) {
    list.append(element("dt", "", term), element("dd", "", value));
  }
  body.append(element("h3", "", code), list);
  return body;
}

/** Those at one place stand side by side. */
function showOfftakes(map, offtakes) {
  const standing = new Map();
  for (const offtake of offtakes) {
    const place = `${offtake.lat} ${offtake.lon}`;
    const before = standing.get(place) ?? 0;
    standing.set(place, before + 1);
    const iconAnchor = [12 - 12 * before, 12];
    const icon = L.divIcon({ className: "offtake", html: SIGNS[offtake.sign], iconSize: [24, 24], iconAnchor });
    const title = `${offtake.code}, ${offtake.words}`;
    L.marker([offtake.lat, offtake.lon], { icon, title, alt: title, zIndexOffset: offtake.lift })
      .bindPopup(() => popupOf(offtake), { maxWidth: 340 })
      .addTo(map);
  }
}

function showTowns(map, towns) {
  const names = towns.map(({ name, size, lat, lon }) => {
    const html = element("span", `town town-${size}`, name);
    const icon = L.divIcon({ className: "", html, iconSize: [0, 0], iconAnchor: [4, 10] });
    return [L.marker([lat, lon], { icon, interactive: false, keyboard: false, zIndexOffset: 4000 }), size];
  });
  const first = map.getZoom();
  const settle = () => {
    map.getContainer().classList.toggle("near", map.getZoom() >= first + 1.5);
    for (const [marker, size] of names) {
      if (size >= 3 - (map.getZoom() - first)) marker.addTo(map);
      else marker.remove();
    }
  };
  map.on("zoomend", settle);
  settle();
}

L.control.scale({ imperial: false }).addTo(MAP);
showFacts(FACTS);
MAP.invalidateSize({ animate: false });
MAP.fitBounds(FACTS.bounds, { animate: false, padding: [24, 24] });
showTowns(MAP, FACTS.towns);
showOfftakes(MAP, FACTS.offtakes);
