/** Every code of a message of `check`, with the paragraph that `check --about CODE` prints. Codes keep their meaning. */
const yamlCodes = {
  unreadable:
    'The file or folder cannot be read: who may read it, a link that leads nowhere or round in a circle, a disk that fails.',
  'too-large':
    'A procedure file may have at most 1 MB and 120,000 pieces: keys, values, signs such as - and :, spaces between them, line ends. That is some 1,000 steps of a manual with all that belongs to them. A file of more than 1 MB is refused by its size, before it is read; one of more pieces is read no further. At most 1,000 empty lines may follow each other. Of one folder no more than 32 MB is read.',
  'not-utf8': 'Procedure files are UTF-8 text. UTF-16 or another encoding is refused rather than guessed.',
  'byte-order-mark': 'The file begins with an invisible mark that some editors write. Save it as UTF-8 without a mark.',
  'control-character':
    'Characters that steer a terminal, reorder text (bidi) or hide it have no place in a procedure, neither typed nor spelled with a backslash in quotes.',
  tab: 'YAML does not allow tabs as indentation, and in text they show differently everywhere. Write spaces.',
  'empty-file': 'The file holds nothing but blank lines and comments.',
  'not-yaml':
    'The file cannot be read as YAML from here on. Only the first such place is told, since what follows may be its consequence. Most often a quote, a bracket or an indentation is off, or text that holds a colon and a space needs quotes.',
  'too-deep': 'Lists and keys may lie 64 levels inside each other; a procedure needs nine.',
  'too-many': 'At most 1000 messages are given for one file: mend those, and read it again.',
  directive: 'A line that begins with % is an instruction to a YAML program. Procedures need none.',
  tag: 'A word that begins with ! tells YAML how to read a value. dryfit reads every value as it is typed. Text that begins with ! goes in quotes.',
  anchor:
    'A word that begins with & names a value for use elsewhere. In a procedure everything stands where it is used. Text that begins with & goes in quotes.',
  alias:
    'A word that begins with * stands for a value from elsewhere. Write the value out. Text that begins with * goes in quotes.',
  'several-documents': 'A file holds one procedure: one YAML document, without a second --- or text behind ... .',
  'duplicate-key':
    'The same key stands twice in one place. YAML programs differ in which one they take, so neither is.',
  'key-unreadable': 'A key is a plain word before a colon.',
  'empty-value': 'A key or an item of a list has no value. Give it one or take it out.',
  'text-cut':
    'In YAML a # after a space begins a comment: `bolt #10-32` is read as `bolt`. Put such text in quotes. A real comment has a space after its #.',
  'text-split':
    'Inside { } a comma ends a value: `{ ask: Gap, largest }` is read as the text `Gap` and a key `largest`. Put such text in quotes.',
  'list-split':
    'Inside [ ] a comma ends an item. An item that begins with and, or, but … looks like the rest of the one before it. Put text that holds a comma in quotes.',
} as const;

const shapeCodes = {
  'unknown-key': 'The key is not one that dryfit knows in this place. The nearest that it knows is named.',
  'missing-key': 'Something that must be said here is not.',
  'key-elsewhere': 'The key is known, but means nothing beside the others that stand here.',
  'wrong-kind': 'Another kind of value is wanted here: text, a list, keys with values, true or false, a whole number.',
  'unknown-value': 'Only some words may stand here, and this is none of them.',
  'value-impossible': 'The value can be read but means nothing here, such as a time of zero.',
  'id-unreadable':
    'Ids are lower-case letters, digits and single hyphens, and begin with a letter: records, limits and comparisons name them.',
  'name-differs': 'In a folder of procedures a file is named by its id: keel-scarf-bond.yaml holds keel-scarf-bond.',
  'duplicate-id':
    'Two things of one kind have one id. Steps, readings with results, loose items, photos and charts each have their own ids.',
  'reading-kind': 'A reading is a quantity in a unit, a count, a text or a choice: exactly one of them.',
  'order-wrong': 'The order of tightening names each fastener once, from 1 to their number.',
  'chart-wrong': 'A chart is a list of pairs, at least two, the first of each pair rising.',
} as const;

const quantityCodes = {
  'quantity-unreadable': 'A quantity is a number with its unit, as a manual prints it: 12.5 mm, 1/2 in, 15°30′.',
  'quantity-ambiguous': 'The text can be read as two different quantities, and neither is guessed.',
  'unit-missing': 'A bare number is never a quantity. Write its unit.',
  'unit-unknown': 'The unit is not one that dryfit knows.',
  'unit-dimension': 'The unit belongs to another kind of quantity than the one wanted: a length for an angle, say.',
  'duration-unreadable':
    'A length of time is written with its units, the larger first: 35 min, 24 h, 7 d, 11 h 50 min.',
  'span-unreadable': 'A span of the clock or the calendar is written with its units: 36 h, 10 d, 6 months, 1 year.',
  'day-unreadable': 'A day of the calendar is written as year, month and day: 2026-03-01.',
  'limits-unreadable':
    'Limits are written in one grammar: 12.5 ± 0.1 mm, 12.5 +0.2 -0.1 mm, 35 to 40 in·lb, at most, at least, more than, less than. An id from above may stand for the number.',
  'limits-empty': 'No value can lie within these limits; most often their ends are the wrong way round.',
} as const;

const referenceCodes = {
  'unknown-reference':
    'The file names a step, reading, result, chart or cure that it does not have. The nearest that it has is named.',
  'later-reference': 'What is named stands further down, so it is not there yet when it is needed.',
  'reference-kind':
    'What is named is there, but it is not of the kind that is wanted: a text where a number is needed, say.',
  'reference-many': 'What is named is there once for each of several, and one value is wanted here.',
  'unknown-calculation': 'There is no calculation of that name; `dryfit calc` lists them. The nearest is named.',
  'each-missing': '`<each>` or `twin` stands in a procedure without `each`: it has no sides.',
} as const;

const cureCodes = {
  'cure-schedule':
    'In a cure schedule the time falls as the temperature rises, and the stages stand shortest first. This one does not.',
  'cure-floor': 'The floor is above every temperature of the schedule: nothing would ever count.',
  'unknown-stage': 'The cure has no stage of that name, so it could never be reached.',
} as const;

const tradeCodes = {
  'proof-missing':
    'A permanent step fixes a feature that a later step relies on, and no step before it shows the feature to be right. A dry trial that says `proves:` belongs above it: what is wrong then can still be changed.',
  'permanent-missing':
    'A step that sets a feature cannot be undone without damage. Mark it permanent, since people read the mark.',
  'feature-unset':
    'A step relies on a feature that no step sets before it, here or in a procedure that this one comes after.',
  'covered-early':
    'An area is covered before a step that must still get at it, or before a hold that inspects what was done there. Move the cover down, or uncover the area again.',
  'hold-empty': 'A hold point stops the job for a second look, and here there is nothing to look at.',
  'pot-life-short':
    'From mixing to the last step inside the pot life the steps take longer than the pot life, even where it is coolest. The glue would set in the cup.',
  'pot-life-tight': 'The work fits into the pot life on a cool day and not on a warm one.',
  'helper-late':
    'With the glue already mixed a step needs more people than were called for before. Ask for them at the mix, or in the head.',
  'not-in-gather':
    'A tool or material is used that the head does not list under gather, so nobody fetches it before the start. A step’s own materials and parts must be in that list, because it says whether a lot or a serial number is asked for.',
  'not-in-steps':
    'The list under gather asks for a lot, a use-by or a serial number, and no step mixes the material, takes it in hand (materials) or fits the part (parts). So it is asked for only before completion, and nothing can be traced to a joint.',
  'loose-open': 'Something is left loose before a gate, and the gate is passed with nothing closing it.',
  'after-loop': 'A procedure comes after itself, directly or by way of others, so it can never begin.',
  'unknown-procedure': 'The procedure comes after one that the folder does not have.',
  'unknown-gate': 'The build has no gate of that name.',
  'gate-order': 'The build has its gates in one order, and the procedures pass them in another.',
  'never-accepted': 'No value that can be entered lies within these limits.',
  'never-reached': 'The step has a condition that no value can meet.',
  'reached-outside':
    'The step has a condition that only a value outside its own limits meets, so only a disposition leads to it. That may be meant: a repair.',
  'source-missing': 'A limit that names no source cannot be looked up, and cannot be told from one that was guessed.',
  'two-actions': 'Two actions in one step are ticked with one tick. Make a step of each.',
  'do-long': 'More than 60 words are not read at the bench. Make two steps of it.',
  'warning-instruction': 'A warning says what may hurt. An instruction in it is passed over: it belongs to do.',
} as const;

export const codes = {
  ...yamlCodes,
  ...shapeCodes,
  ...quantityCodes,
  ...referenceCodes,
  ...cureCodes,
  ...tradeCodes,
} as const;

export type MessageCode = keyof typeof codes;

export const isMessageCode = (text: string): text is MessageCode => Object.hasOwn(codes, text);

/** The paragraph that `check --about CODE` prints; undefined for a code that there is not. */
export const aboutCode = (code: string): string | undefined => (isMessageCode(code) ? codes[code] : undefined);
