/**
 * The look of a printed sheet. 12 pt for reading at a desk, 16 pt for reading at arm's length; black on white. Colour only repeats what a
 * word and its symbol say. The contrast of every colour on white is 7:1 or more.
 */
export const style = `
:root { color-scheme: light; }
body { font: 12pt/1.45 "DejaVu Sans", Verdana, Arial, sans-serif; color: #000; background: #fff; max-width: 48em; margin: 2em auto; padding: 0 1em; }
h1 { font-size: 1.6em; line-height: 1.2; }
h2 { font-size: 1.25em; margin-top: 2em; border-bottom: 2px solid #000; }
h3 { font-size: 1.05em; margin-top: 1.6em; }
dl { display: grid; grid-template-columns: minmax(8em, max-content) 1fr; gap: 0.15em 1em; margin: 0.6em 0; }
dt { font-weight: bold; }
dd { margin: 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; margin: 0.6em 0; }
th, td { border: 1px solid #666; padding: 0.2em 0.5em; text-align: left; vertical-align: top; overflow-wrap: anywhere; }
code, pre { font-family: "DejaVu Sans Mono", Consolas, monospace; font-size: 0.85em; }
del { text-decoration: line-through; text-decoration-thickness: 2px; }
.warning { border: 2px solid #000; padding: 0.5em 0.8em; font-weight: bold; }
.good { color: #0a4d1c; }
.bad { color: #8a0000; font-weight: bold; }
.open { color: #4a3500; }
.large { font-size: 16pt; line-height: 1.5; border: 3px solid #000; padding: 0.4em 0.8em; margin: 1em 0; }
@page { margin: 18mm; }
@media print {
  body { margin: 0; max-width: none; padding: 0; }
  h2, h3 { break-after: avoid; }
  tr, li, .warning { break-inside: avoid; }
  thead { display: table-header-group; }
}
`;
