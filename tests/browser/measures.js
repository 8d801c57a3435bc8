// What the browser tests read off a page. Lengths are millimetres, as CSS counts them: 96 px are 25.4 mm.
(() => {
  const MM = 25.4 / 96;
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const shown = (element) => element.checkVisibility() && element.getBoundingClientRect().width > 0;
  const words = (element) => element.textContent.replace(/\s+/g, " ").trim();
  const named = (element) => {
    const text = words(element).slice(0, 40);
    return `<${element.tagName.toLowerCase()}${element.id && ` id=${element.id}`}>${text && ` ${text}`}`;
  };

  // The corners of an element of a picture, turned as it is drawn. Above its capitals a line of text is empty.
  const corners = (element, empty = 0) => {
    const { x, y, width, height } = element.getBBox();
    const spots = [[x, y + empty], [x + width, y + empty], [x + width, y + height], [x, y + height]];
    return spots.map(([along, down]) => {
      const spot = new DOMPoint(along, down).matrixTransform(element.getScreenCTM());
      return [spot.x * MM, spot.y * MM];
    });
  };
  const size = (text) => parseFloat(getComputedStyle(text).fontSize);
  const halo = (text) => {
    const { paintOrder, stroke, strokeWidth } = getComputedStyle(text);
    return paintOrder.startsWith("stroke") && parseFloat(strokeWidth) > 0 ? stroke : "none";
  };
  const unit = (element) => Math.hypot(element.getScreenCTM().a, element.getScreenCTM().b) * MM;
  const name = (svg) => words(svg.closest("figure")?.querySelector("figcaption p") ?? svg).slice(0, 80);

  const scrolls = (element) => /auto|scroll/.test(getComputedStyle(element).overflowX);
  const clips = (element) => /hidden|clip/.test(getComputedStyle(element).overflowX);
  const tiny = (element) => element.clientWidth <= 1 || element.clientHeight <= 1;
  const within = (element, test) => {
    for (let outer = element.parentElement; outer; outer = outer.parentElement) if (test(outer)) return true;
    return false;
  };

  return {
    // Each picture, with its frame, its texts, and its links. Samples in a caption belong to no figure.
    pictures: () => all("svg").filter(shown).map((svg) => {
      const { left, top, right, bottom } = svg.getBoundingClientRect();
      const texts = all("text", svg).filter((text) => shown(text) && words(text));
      return {
        name: name(svg),
        figure: svg.closest("figcaption") ? -1 : all("figure").indexOf(svg.closest("figure")),
        frame: [[left, top], [right, top], [right, bottom], [left, bottom]].map(([x, y]) => [x * MM, y * MM]),
        unit: unit(svg),
        texts: texts.map((text) => ({
          text: words(text),
          size: size(text) * unit(text),
          corners: corners(text, 0.17 * size(text)),
          linked: text.closest("a") !== null,
          fill: getComputedStyle(text).fill,
          halo: halo(text),
        })),
        links: all("a", svg).filter(shown).map((link) => ({ text: words(link), corners: corners(link) })),
      };
    }),

    // Each face of a wall, and the middles of the holes in it, from its left lower corner to the right and up.
    faces: () => all("svg").filter((svg) => svg.querySelector("polygon.is-face") && shown(svg)).map((svg) => {
      const { left, bottom, width, height } = svg.querySelector("polygon.is-face").getBoundingClientRect();
      const holes = all("circle.is-box", svg).map((circle) => circle.getBoundingClientRect());
      return {
        name: name(svg),
        width: width * MM,
        height: height * MM,
        holes: holes.map((hole) => [(hole.x + hole.width / 2 - left) * MM, (bottom - hole.y - hole.height / 2) * MM]),
      };
    }),

    // What is wider than the page, and what is cut off without a way to scroll to it.
    overflow: () => {
      const root = document.scrollingElement;
      const found = [];
      if (root.scrollWidth > root.clientWidth) found.push(`the page is ${root.scrollWidth} px of ${root.clientWidth} px`);
      for (const element of all("body, body *").filter(shown)) {
        const { left, right } = element.getBoundingClientRect();
        const free = !within(element, (outer) => scrolls(outer) || (clips(outer) && tiny(outer)));
        if (free && (right > root.clientWidth + 0.5 || left < -0.5)) found.push(`${named(element)} ${left} to ${right} px`);
        if (clips(element) && !tiny(element) && !element.closest("svg") && element.scrollWidth > element.clientWidth + 1) {
          found.push(`${named(element)} is cut off`);
        }
      }
      return found;
    },

    // Links within the page that lead nowhere, and names that two elements share.
    lost: () => {
      const ids = all("[id]").map((element) => element.id);
      const links = all("a").map((link) => link.getAttribute("href")).filter((to) => to?.startsWith("#"));
      const nowhere = links.filter((to) => to === "#" || !ids.includes(decodeURIComponent(to.slice(1))));
      return [...nowhere, ...ids.filter((id, place) => ids.indexOf(id) !== place)];
    },

    // What the focus is on, how it shows, and whether it can be seen.
    focus: () => {
      const element = document.activeElement;
      const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(element);
      const { x, y, width, height, top, bottom } = element.getBoundingClientRect();
      const over = document.elementFromPoint(Math.max(x, 0) + Math.min(width, innerWidth - x) / 2, y + height / 2);
      return {
        what: element === document.body ? "" : named(element),
        tag: element.tagName.toLowerCase(),
        href: element.getAttribute("href") ?? "",
        marked: (outlineStyle !== "none" && parseFloat(outlineWidth) > 0) || boxShadow !== "none",
        seen: bottom > 0 && top < innerHeight && (element.contains(over) || height > innerHeight),
      };
    },

    // Frames whose content is wider or higher than they are.
    scrolling: () => all("body *").filter((element) => {
      const { overflowX, overflowY } = getComputedStyle(element);
      const across = /auto|scroll/.test(overflowX) && element.scrollWidth > element.clientWidth;
      const down = /auto|scroll/.test(overflowY) && element.scrollHeight > element.clientHeight;
      return shown(element) && (across || down);
    }).map((element) => ({ what: named(element), reached: element.tabIndex >= 0, says: element.getAttribute("aria-label") ?? element.getAttribute("aria-labelledby") ?? "" })),
  };
})()
