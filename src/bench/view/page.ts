import type { ListItem } from '../drawing/list.ts';
import type { Marks } from '../drawing/marks.ts';
import { mark, paragraphRows, type Row, type Style } from '../drawing/rows.ts';

/** A key and what it does on this page: `enter: open`. */
export interface Hint {
  readonly key: string;
  readonly does: string;
}

export const hint = (key: string, does: string): Hint => ({ key, does });

export const menuHint = hint('space', 'menu');
export const backHint = hint('esc', 'back');

/** The digits that choose among so many items: `1 to 6`. */
export const digits = (count: number): string => (count === 1 ? '1' : `1 to ${Math.min(9, count)}`);

export interface ListView {
  readonly items: readonly ListItem[];
  /** The item that enter takes; absent where only digits choose. */
  readonly selected?: number;
}

/** One block of the desk view's column. */
export interface PageBlock {
  readonly title: string;
  readonly rows: readonly Row[];
}

/** What a screen shows, before it is laid out: plain data, made for a width. */
export interface PageView {
  readonly left: Row;
  readonly right: Row;
  /** The rivet line; absent outside a job. `place` says the same in words. */
  readonly line?: Row;
  readonly place?: Row;
  /** The text to read. It scrolls. */
  readonly text: readonly Row[];
  readonly list?: ListView;
  /** Present where `text` is one page of several, and an arrow turns the page. `at` counts from 0. */
  readonly paged?: { readonly at: number; readonly of: number };
  /** What is entered. It stays in view. */
  readonly work: readonly Row[];
  /** The answer to the person: a verdict, what was saved, or why not. */
  readonly said: readonly Row[];
  readonly hints: readonly Hint[];
  readonly clocks: Row;
  /** The end of a pot life, and never anything else. */
  readonly alarm?: Row;
  readonly side: readonly PageBlock[];
  /** Whether a clock on it shows seconds. */
  readonly seconds: boolean;
}

/** What one page adds to a screen. The rest (place, clocks, who is signed on) is the same on all pages. */
export type PageContent = Pick<PageView, 'text' | 'work' | 'said' | 'hints'> &
  Partial<Pick<PageView, 'list' | 'left' | 'right' | 'seconds' | 'paged'>>;

/** How to draw for this terminal. */
export interface Canvas {
  /** Columns of the main part. */
  readonly width: number;
  /** Rows of it. */
  readonly rows: number;
  readonly desk: boolean;
  /** Columns of the desk view's column; 0 without one. */
  readonly side: number;
  readonly marks: Marks;
}

/** Marks, and how wide a row may be in columns. */
export type Sized = Pick<Canvas, 'marks' | 'width'>;

export const emptyPage: Omit<PageView, 'left' | 'right'> = {
  text: [],
  work: [],
  said: [],
  hints: [],
  clocks: [],
  side: [],
  seconds: false,
};

export const title = (text: string, width: number): readonly Row[] => paragraphRows(text, width, 'strong');

/** `makes fast  keel-line`: a label in the first `indent` columns, and its text beside it, wrapped beneath itself. */
export const labelled = (
  label: string,
  text: string,
  width: number,
  style: Style = 'plain',
  indent = 13,
): readonly Row[] => {
  const lines = paragraphRows(text, Math.max(8, width - indent), style);
  return lines.map((line, index) => [
    mark(index === 0 ? `${label} `.padEnd(indent) : ' '.repeat(indent), 'quiet'),
    ...line,
  ]);
};

/** A text with a mark before it. The words alone say what the mark and its colour say. */
export const marked = (sign: string, text: string, width: number, style: Style): readonly Row[] =>
  paragraphRows(`${sign} ${text}`, width, style, 2);
