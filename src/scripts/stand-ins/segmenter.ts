import { separateText } from './plain.ts';

const { Segmenter } = Intl;

interface Segment {
  readonly segment: string;
  readonly index: number;
}

interface Segments extends Iterable<Segment> {
  readonly containing: (index: number) => Segment | undefined;
}

/** The segments of a text that is cut between any two of its characters. */
const separate = (text: string): Segments => ({
  containing: (index) => (index < text.length ? { segment: text.charAt(index), index } : undefined),
  *[Symbol.iterator]() {
    for (let index = 0; index < text.length; index += 1) yield { segment: text.charAt(index), index };
  },
});

/**
 * Replaces Intl.Segmenter in the whole bundle. Three packages make one as soon as they are loaded, which takes milliseconds; here it is made
 * by the first text that needs it.
 */
export class LazySegmenter {
  readonly #make: () => Intl.Segmenter;
  readonly #cutsCharacters: boolean;
  #made: Intl.Segmenter | undefined;

  constructor(locales?: string | string[], options: Intl.SegmenterOptions = {}) {
    this.#make = () => new Segmenter(locales, options);
    this.#cutsCharacters = (options.granularity ?? 'grapheme') === 'grapheme';
  }

  segment(text: string): Segments {
    if (this.#cutsCharacters && separateText.test(text)) return separate(text);
    return (this.#made ??= this.#make()).segment(text);
  }
}
