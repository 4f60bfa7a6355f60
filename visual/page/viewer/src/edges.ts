/** Rows that scroll sideways show it: they fade towards the side where more is hidden. */

const ROOM = 4; // pixels that count as nothing hidden

/** Keep `data-more` of a row at "left", "right", "left right" or "" as it scrolls or changes. */
export function markEdges(row: HTMLElement): void {
  const mark = (): void => {
    const left = row.scrollLeft > ROOM;
    const right = row.scrollLeft + row.clientWidth < row.scrollWidth - ROOM;
    row.dataset["more"] = [left && "left", right && "right"].filter(Boolean).join(" ");
  };
  row.addEventListener("scroll", mark, { passive: true });
  new ResizeObserver(mark).observe(row);
  new MutationObserver(mark).observe(row, { childList: true, subtree: true, characterData: true });
  mark();
}
