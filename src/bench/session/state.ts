import type { Fault } from '../../fault/fault.ts';
import type { EntryVerdict } from '../../job/entry.ts';
import type { TextField } from '../drawing/field.ts';
import type { Act, NewcomerForm, Secrets } from '../ports.ts';
import type { ThemeName } from '../theme.ts';
import type { OwnKey } from '../keys.ts';
import type { Drafts, Filled, Form } from './form.ts';

/** The groups of the menu: nine at most, so that a digit opens each. */
export type MenuGroup =
  'all' | 'value' | 'correct' | 'said' | 'again' | 'work' | 'loose' | 'stock' | 'people' | 'screen' | 'refused';

/** What can be looked at without entering anything. */
export type InfoPage =
  | 'steps'
  | 'values'
  | 'entries'
  | 'limits'
  | 'loose'
  | 'gate'
  | 'departures'
  | 'findings'
  | 'clocks'
  | 'revision'
  | 'keys'
  | 'cautions';

interface Scrolled {
  readonly scroll: number;
}

interface Selected {
  readonly selected: number;
}

/** A page and what it remembers. The session keeps a stack of them: the last one is shown, escape goes back. */
export type Page =
  /** `asksTheme`: how the screen is to look was never said on this machine. */
  | ({ readonly page: 'first'; readonly filled: Filled; readonly asksTheme: boolean } & Scrolled)
  | ({ readonly page: 'cautions' } & Scrolled)
  | ({ readonly page: 'jobs' } & Selected & Scrolled)
  | ({ readonly page: 'procedures' } & Selected & Scrolled)
  | ({ readonly page: 'start'; readonly procedure: string } & Scrolled)
  | ({ readonly page: 'back'; readonly job: string; readonly ticked: readonly string[] } & Scrolled)
  | ({
      readonly page: 'walk';
      readonly job: string;
      readonly filled?: Filled;
      /** The sheet of a hold whose last line was on the screen. */
      readonly read?: string;
    } & Scrolled)
  | ({ readonly page: 'form'; readonly form: Form; readonly filled: Filled } & Scrolled)
  | ({ readonly page: 'menu'; readonly group: MenuGroup; readonly job?: string } & Selected & Scrolled)
  | ({ readonly page: 'calculators' } & Selected & Scrolled)
  | ({
      readonly page: 'calculator';
      readonly calculation: string;
      readonly filled: Filled;
      /** The inputs, once all of them are typed and the result is shown. */
      readonly inputs?: Readonly<Record<string, string>>;
    } & Scrolled)
  | ({ readonly page: 'info'; readonly info: InfoPage; readonly job?: string } & Scrolled)
  | ({
      readonly page: 'passphrase';
      readonly act: Act;
      readonly person: string;
      readonly wrong: boolean;
      /** Passphrases typed for this act already, by others who must sign too. */
      readonly secrets: Secrets;
      readonly field: TextField;
    } & Scrolled)
  /** `form`: what was being filled in, where it was refused before it was whole. */
  | ({ readonly page: 'refused'; readonly fault: Fault; readonly act?: Act; readonly form?: Form } & Scrolled)
  /** The keys of the page beneath. */
  | ({ readonly page: 'help' } & Scrolled)
  | ({ readonly page: 'done'; readonly job: string; readonly record?: string } & Scrolled);

/** Each page by its name. */
export type Pages = { readonly [P in Page['page']]: Extract<Page, { readonly page: P }> };

/** The answer to the last act, until the next one. */
export interface ShownAnswer {
  /** `notice`: what was found when the state was opened. */
  readonly kind: 'taken' | 'not' | 'notice';
  readonly lines: readonly string[];
  readonly verdict?: EntryVerdict;
}

export type View = 'by size' | 'bench' | 'desk';

export interface Session {
  /** Who is signed on; absent until there is somebody. */
  readonly by?: string;
  readonly pages: readonly Page[];
  readonly answer?: ShownAnswer;
  /** An act that was handed out and has no answer yet. */
  readonly waiting?: Act;
  /** When the last act was handed out, and when the last answer within a form was taken; ms of a clock that never goes back. */
  readonly committed: number;
  readonly advanced: number;
  /** An own key that was pressed once and wants to be pressed again, and when (ms of the same clock). */
  readonly armed?: { readonly own: OwnKey; readonly ms: number };
  /** What was typed and not saved, on pages that are closed. */
  readonly drafts: Drafts;
  /** When the bell last rang for a batch whose pot life is over; ms since 1970. */
  readonly rung: Readonly<Record<string, number>>;
  /** Jobs opened since the bench was: the last steps are checked again only the first time. */
  readonly opened: readonly string[];
  readonly view: View;
  readonly theme: ThemeName;
  /** Whether the first run asks how the screen is to look. */
  readonly asksTheme: boolean;
}

/** What the bench does besides showing something. */
export type Effect =
  | { readonly kind: 'submit'; readonly act: Act; readonly secrets: Secrets }
  | { readonly kind: 'introduce'; readonly newcomer: NewcomerForm }
  | { readonly kind: 'keep'; readonly setting: 'theme' | 'view'; readonly value: string }
  | { readonly kind: 'bell' }
  | { readonly kind: 'leave' };

export interface Turn {
  readonly session: Session;
  readonly effects: readonly Effect[];
}

export const nothing = (session: Session): Turn => ({ session, effects: [] });

export const newSession = (
  by: string | undefined,
  view: View,
  theme: ThemeName,
  notices: readonly string[] = [],
  asksTheme = false,
): Session => ({
  ...(by === undefined ? {} : { by }),
  ...(notices.length === 0 ? {} : { answer: { kind: 'notice', lines: notices } }),
  pages: [],
  committed: -Infinity,
  advanced: -Infinity,
  drafts: {},
  rung: {},
  opened: [],
  view,
  theme,
  asksTheme,
});

export const topPage = (session: Session): Page | undefined => session.pages.at(-1);

export const push = (session: Session, page: Page): Session => ({ ...session, pages: [...session.pages, page] });

/** Closes the page on top; the last page never closes. */
export const pop = (session: Session): Session =>
  session.pages.length > 1 ? { ...session, pages: session.pages.slice(0, -1) } : session;

export const replaceTop = (session: Session, page: Page): Session => ({
  ...session,
  pages: [...session.pages.slice(0, -1), page],
});

/** Closes pages down to the topmost one that is looked for; where there is none, nothing changes. */
export const popTo = (session: Session, found: (page: Page) => boolean): Session => {
  const at = session.pages.findLastIndex(found);
  return at === -1 ? session : { ...session, pages: session.pages.slice(0, at + 1) };
};

export const withoutAnswer = (session: Session): Session => {
  const { answer: _answer, ...rest } = session;
  return rest;
};
