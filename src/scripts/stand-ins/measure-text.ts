import widestLine from 'widest-line';

/** Replaces ink/build/measure-text.js, which keeps every text that it ever measured. The columns and rows that a text takes. */
export default (text: string) =>
  text === '' ? { width: 0, height: 0 } : { width: widestLine(text), height: text.split('\n').length };
