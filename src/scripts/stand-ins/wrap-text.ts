import cliTruncate from 'cli-truncate';
import wrapAnsi from 'wrap-ansi';
import { recent } from './recent.ts';

type Wrap = 'wrap' | 'end' | 'middle' | 'truncate' | 'truncate-end' | 'truncate-middle' | 'truncate-start';

const positions: Readonly<Partial<Record<Wrap, 'start' | 'middle'>>> = {
  'truncate-start': 'start',
  'truncate-middle': 'middle',
};

const fitted = (text: string, columns: number, wrap: Wrap): string => {
  if (wrap === 'wrap') return wrapAnsi(text, columns, { trim: false, hard: true });
  return wrap.startsWith('truncate') ? cliTruncate(text, columns, { position: positions[wrap] ?? 'end' }) : text;
};

const fittedTexts = recent<string>(2000);

/** Replaces ink/build/wrap-text.js, which keeps every text that it ever wrapped or cut. */
export default (text: string, columns: number, wrap: Wrap): string =>
  fittedTexts(`${columns} ${wrap} ${text}`, () => fitted(text, columns, wrap));
