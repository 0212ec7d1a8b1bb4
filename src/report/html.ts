import { escapeText } from '../fault/escape.ts';
import { style } from './style.ts';
import { printWith, type Block, type Printers, type Run, type Runs, type Sheet } from './sheet.ts';

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text from anybody, made fit for the content of an element or a quoted attribute; control and bidi characters are spelled out. */
export const escapeHtml = (text: string): string =>
  escapeText(text).replace(/[&<>"']/g, (character) => entities[character] ?? '');

const inline = (run: Run): string => {
  if (typeof run === 'string') return escapeHtml(run);
  if ('struck' in run) return `<del>${escapeHtml(run.struck)}</del> (struck)`;
  if ('strong' in run) return `<strong>${escapeHtml(run.strong)}</strong>`;
  if ('code' in run) return `<code>${escapeHtml(run.code)}</code>`;
  return `<span class="${run.state}">${escapeHtml(run.mark)}</span>`;
};

const content = (runs: Runs): string => runs.map(inline).join('');

const cells = (tag: 'th' | 'td', row: readonly string[]): string =>
  `<tr>${row.map((cell) => `<${tag}>${cell}</${tag}>`).join('')}</tr>`;

const printers: Printers<string> = {
  heading: ({ level, text }) => `<h${level}>${escapeHtml(text)}</h${level}>`,
  text: ({ runs, tone }) => `<p${tone ? ` class="${tone}"` : ''}>${content(runs)}</p>`,
  facts: ({ rows }) =>
    `<dl>${rows.map(([label, runs]) => `<dt>${escapeHtml(label)}</dt><dd>${content(runs)}</dd>`).join('')}</dl>`,
  table: ({ head, rows }) =>
    [
      `<table><thead>${cells('th', head.map(escapeHtml))}</thead><tbody>`,
      ...rows.map((row) => cells('td', row.map(content))),
      '</tbody></table>',
    ].join('\n'),
  list: ({ items }) => `<ul>${items.map((runs) => `<li>${content(runs)}</li>`).join('')}</ul>`,
  verbatim: ({ lines }) => `<pre>${lines.map(escapeHtml).join('\n')}</pre>`,
  large: ({ blocks }) => `<section class="large">\n${blocks.map(block).join('\n')}\n</section>`,
};

const block = (one: Block): string => printWith(printers, one);

/** A sheet as one page that needs no other file: no script, no image, no font, no address. */
export const sheetHtml = (sheet: Sheet): string =>
  [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escapeHtml(sheet.title)}</title>`,
    `<style>\n${style}</style>`,
    '</head>',
    '<body>',
    ...sheet.blocks.map(block),
    '</body>',
    '</html>',
    '',
  ].join('\n');
