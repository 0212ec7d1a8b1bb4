import type { Style } from './drawing/rows.ts';

/** How one style looks. Without a `colour` it is in the terminal's own text colour. */
interface TextStyle {
  readonly colour?: string;
  readonly bold?: true;
  readonly dim?: true;
}

export type ThemeName = 'dark' | 'light' | 'none';

export type Theme = Readonly<Record<Style, TextStyle>>;

/**
 * Three hues: blue for what is in order, amber for what needs a person, rose for what is outside. People with weak colour vision can tell
 * blue from amber and rose too. Each has a contrast of 7:1 or better (WCAG 2.1, 1.4.6) on backgrounds from black to #1e1e1e (dark), and
 * from white to #f2f2f2 (light).
 */
export const themes: Readonly<Record<ThemeName, Theme>> = {
  dark: {
    plain: {},
    quiet: { colour: '#b4b4b4' },
    strong: { bold: true },
    order: { colour: '#7cc7ff' },
    person: { colour: '#ffcf5c' },
    outside: { colour: '#ffa3b1', bold: true },
  },
  light: {
    plain: {},
    quiet: { colour: '#464646' },
    strong: { bold: true },
    order: { colour: '#00457f' },
    person: { colour: '#633c00' },
    outside: { colour: '#8c0030', bold: true },
  },
  none: { plain: {}, quiet: {}, strong: { bold: true }, order: {}, person: { bold: true }, outside: { bold: true } },
};

type Env = Readonly<Record<string, string | undefined>>;

/** The theme to use. NO_COLOR (not empty) means no colour. COLORFGBG, where a terminal sets it, ends with its background colour. */
export const themeFor = (env: Env, chosen?: string): ThemeName => {
  if (env['NO_COLOR']) return 'none';
  if (chosen === 'dark' || chosen === 'light' || chosen === 'none') return chosen;
  const ground = env['COLORFGBG']?.split(';').at(-1);
  return ground === '7' || ground === '15' ? 'light' : 'dark';
};
