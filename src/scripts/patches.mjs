import { readFileSync } from 'node:fs';
import { sep } from 'node:path';

/**
 * Characters that every terminal draws one column wide, that never join their neighbours, and that the bench is drawn with:
 * ASCII, Latin, Greek, punctuation, arrows that are no emoji, mathematics, frame lines, blocks, ticks. A test holds each of them
 * against the unpatched measure.
 */
export const plain = String.raw` -~\u00a1-\u00a8\u00aa-\u00ac\u00af-\u02ff\u0391-\u03a1\u03a3-\u03c9\u2010-\u2027\u2030-\u203b\u2190-\u2193\u2200-\u22ff\u2500-\u25a9\u25b2\u25b3\u25bc\u25bd\u25c6\u25c7\u25c9\u25cb\u25cc\u25cf\u2713\u2717`;

/**
 * The source of a cache that knows what was used lately: of two maps the older one is dropped when the younger one is full. A frame
 * needs a few hundred entries.
 */
const lately = (limit) => `(() => {
    let young = new Map(), old = new Map();
    const set = (key, value) => {
        if (young.size >= ${limit}) [old, young] = [young, new Map()];
        young.set(key, value);
    };
    const get = (key) => {
        const value = young.get(key) ?? old.get(key);
        if (value !== undefined && !young.has(key)) set(key, value);
        return value;
    };
    return { get, set };
})()`;

/**
 * What the bundle changes in the packages it takes in, and why. Each edit names the exact text that it replaces: when a later version
 * no longer holds that text, the build stops, so that nothing is lost silently. No edit changes what is drawn.
 *
 * `npm run bench` measures what they are for: start-up, time from key to paint, memory over many frames.
 */
const patches = [
  {
    file: 'ink/build/reconciler.js',
    why: 'a top-level await for developer tools that are not there, on the way of every start',
    edits: [
      ["import { isDev } from './utils.js';", ''],
      [/^if \(isDev\(\)\) \{\n[\s\S]*?^\}\n/m, ''],
      [/^async function loadPackageJson\(\) \{\n[\s\S]*?^\}\n/m, ''],
      [/^const packageJson = isDev\(\)[^;]*;$/m, 'const packageJson = {};'],
    ],
  },
  {
    file: 'ink/build/ink.js',
    why: 'the developer tools again; and CI in the environment must not stop a real terminal from being redrawn',
    edits: [
      ["import isInCi from 'is-in-ci';", 'const isInCi = false;'],
      [/^ *if \(isDev\(\)\) \{\n[\s\S]*?\n {8}\}\n/m, ''],
      ["import { isDev } from './utils.js';", ''],
    ],
  },
  {
    file: 'terminal-size/index.js',
    why: 'it starts other programs to learn the size of a terminal; the painter knows it',
    edits: [[/^export default function terminalSize\(\) \{$/m, '$&\n\treturn {columns: 80, rows: 24};']],
  },
  {
    file: 'yoga-layout/dist/src/index.js',
    why: 'the layout engine is made at once, from bytes in the bundle: `fetch` would load an HTTP client first',
    edits: [
      [
        'const Yoga = wrapAssembly(await loadYoga());',
        `const engine = {
  instantiateWasm(imports, done) {
    const instance = new WebAssembly.Instance(new WebAssembly.Module(engine.bytes()), imports);
    done(instance);
    return instance.exports;
  },
};
loadYoga(engine);
const Yoga = wrapAssembly(engine);`,
      ],
    ],
  },
  {
    file: 'yoga-layout/dist/binaries/yoga-wasm-base64-esm.js',
    why: 'hands its bytes out, for the edit above',
    edits: [
      ['var _scriptDir = import.meta.url;', "var _scriptDir = '';"],
      [
        ';if(!ua(H)){var va=H;H=h.locateFile?h.locateFile(va,q):q+va}',
        ";h.bytes=()=>Buffer.from(H.slice(H.indexOf(',')+1),'base64');",
      ],
    ],
  },
  {
    file: 'string-width/index.js',
    why: 'its patterns take tens of milliseconds to compile, and one frame line sets them off',
    edits: [
      [
        'const segmenter = new Intl.Segmenter();',
        `let segmenter;
const plain = /^[${plain}]*$/;
const later = make => {
	let made;
	const regex = () => made ??= make();
	return {
		test: text => regex().test(text),
		[Symbol.search]: text => regex()[Symbol.search](text),
		[Symbol.match]: text => regex()[Symbol.match](text),
	};
};`,
      ],
      ...['visibleCharacterRegex', 'spacingMarkRegex', 'rgiEmojiRegex', 'extendedPictographicRegex'].map((name) => [
        new RegExp(`^const ${name} = (/.*/[a-z]+);$`, 'm'),
        `const ${name} = later(() => $1);`,
      ]),
      ['if (/^[\\u0020-\\u007E]*$/.test(string)) {', 'if (ambiguousIsNarrow && plain.test(string)) {'],
      ['of segmenter.segment(string)', 'of (segmenter ??= new Intl.Segmenter()).segment(string)'],
    ],
  },
  {
    file: 'slice-ansi/tokenize-ansi.js',
    why: 'a segmenter takes milliseconds to make: only when it is needed',
    edits: [
      [
        "const GRAPHEME_SEGMENTER = new Intl.Segmenter(undefined, {granularity: 'grapheme'});",
        'let segmenter;\nconst GRAPHEME_SEGMENTER = {segment: text => (segmenter ??= new Intl.Segmenter()).segment(text)};',
      ],
    ],
  },
  {
    file: '@alcalzone/ansi-tokenize/build/tokenize.js',
    why: 'the same; and plain characters need no segmenter at all',
    edits: [
      [
        'const segmenter = new Intl.Segmenter(undefined, { granularity: "grapheme" });',
        `let segmenter;
const plain = /^[\\u001b${plain}]*$/;
const graphemes = (text) => plain.test(text)
    ? Array.from(text, (segment, index) => ({ segment, index }))
    : (segmenter ??= new Intl.Segmenter()).segment(text);`,
      ],
      ['of segmenter.segment(str)', 'of graphemes(str)'],
    ],
  },
  {
    file: '@alcalzone/ansi-tokenize/build/styledChars.js',
    why: 'neighbours of one style share the list of its codes, and nothing is worked out between them',
    edits: [
      ['styles: [...codes],', 'styles: codes,'],
      [
        '        else {\n            ret += ansiCodesToString(diff',
        '        else if (chars[i - 1].styles !== char.styles) {\n            ret += ansiCodesToString(diff',
      ],
    ],
  },
  {
    file: 'ink/build/output.js',
    why: 'what is known of a line is kept from one frame to the next; empty cells are one cell; a line that fits is not cut',
    edits: [
      [
        '    widths = new Map();\n    blockWidths = new Map();\n    styledChars = new Map();',
        `    widths = ${lately(2000)};\n    blockWidths = ${lately(500)};\n    styledChars = ${lately(500)};`,
      ],
      [
        'class OutputCaches {',
        `const blank = Object.freeze({ type: 'char', value: ' ', fullWidth: false, styles: Object.freeze([]) });
class OutputCaches {`,
      ],
      ['export default class Output {', 'const shared = new OutputCaches();\nexport default class Output {'],
      ['    caches = new OutputCaches();', '    caches = shared;'],
      [/row\.push\(\{\n[\s\S]*?\}\);/, 'row.push(blank);'],
      ['return sliceAnsi(line, from, to);', 'return from === 0 && to >= width ? line : sliceAnsi(line, from, to);'],
    ],
  },
  {
    file: 'ink/build/measure-text.js',
    why: 'its cache never forgets: every new text would stay in memory for ever',
    edits: [['const cache = new Map();', `const cache = ${lately(2000)};`]],
  },
  {
    file: 'ink/build/wrap-text.js',
    why: 'the same',
    edits: [
      ['const cache = {};', `const cache = ${lately(2000)};`],
      ['const cachedText = cache[cacheKey];', 'const cachedText = cache.get(cacheKey);'],
      ['    cache[cacheKey] = wrappedText;', '    cache.set(cacheKey, wrappedText);'],
    ],
  },
];

/** Replaces `what`, which must be found exactly once, or throws. */
const replaceOnce = (text, what, by, where) => {
  const found =
    typeof what === 'string'
      ? text.split(what).length - 1
      : [...text.matchAll(new RegExp(what, `${what.flags}g`))].length;
  if (found !== 1) throw new Error(`${where}: the text to be patched is there ${found} times, not once: ${what}`);
  return text.replace(what, typeof what === 'string' ? () => by : by);
};

/** An esbuild plugin that makes the edits above and stops the build when one of them did not happen. */
export const patchPackages = {
  name: 'patches',
  setup(build) {
    const done = new Set();
    build.onStart(() => done.clear());
    for (const { file, edits } of patches) {
      const filter = new RegExp(
        `node_modules/${file}$`.replaceAll('/', sep === '/' ? '/' : '[\\\\/]').replaceAll('.', '\\.'),
      );
      build.onLoad({ filter }, ({ path }) => {
        done.add(file);
        const contents = edits.reduce(
          (text, [what, by]) => replaceOnce(text, what, by, file),
          readFileSync(path, 'utf8'),
        );
        return { contents, loader: 'js' };
      });
    }
    build.onEnd(({ errors, metafile }) => {
      const bundled = Object.keys(metafile?.inputs ?? {}).some((input) => input.includes('node_modules/ink/'));
      if (errors.length > 0 || !bundled) return undefined;
      const missed = patches.filter(({ file }) => !done.has(file));
      return { errors: missed.map(({ file, why }) => ({ text: `never bundled, so not patched: ${file} (${why})` })) };
    });
  },
};
