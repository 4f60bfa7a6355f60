/** What stands in the margins of every page on paper: title and date above, page numbers below. */

let sheet: CSSStyleSheet | null = null;

/** Write the running lines; the texts are data and stay text. */
export function runningLines(title: string, dated: string, caution: string): void {
  const boxes = [
    `@top-left { content: ${asString(title)}; }`,
    `@top-right { content: ${asString(dated)}; }`,
    `@bottom-left { content: ${asString(caution)}; }`,
    `@bottom-right { content: "page " counter(page) " of " counter(pages); }`,
  ];
  sheet ??= new CSSStyleSheet();
  sheet.replaceSync(`@media print { @page { margin: 16mm 12mm 14mm; font: 8pt sans-serif; color: #5f584f; ${boxes.join(" ")} } }`);
  if (!document.adoptedStyleSheets.includes(sheet)) document.adoptedStyleSheets.push(sheet);
}

/** A text as a string of a style sheet: every letter that is not plain is written as its number. */
export function asString(text: string): string {
  const signs = [...text].map((one) => (/[A-Za-z0-9 ,.-]/.test(one) ? one : `\\${(one.codePointAt(0) ?? 32).toString(16)} `));
  return `"${signs.join("")}"`;
}
