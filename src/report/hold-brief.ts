import type { RecordStep } from '../record/document-step.ts';
import type { RecordDocument } from '../record/document.ts';
import { digestOf, inspectedFacts, linesOf, type InspectedFact } from '../record/inspected.ts';
import type { RecordHold } from '../record/parts/hold.ts';
import { cureLines, fastenerLines, mixLines, readingLines, resultLines } from './hold-brief-parts.ts';
import { joinedText, line, otherPeople, stepTimes, timeOf, type BriefLine } from './hold-brief-line.ts';
import { namingOf, type Naming } from './people.ts';
import { withSide } from './side.ts';

/** What the person at a hold reads, group by group, in as few lines as say all of it. */
export interface BriefSection {
  readonly title: string;
  readonly lines: readonly BriefLine[];
}

const looksLines = (hold: RecordHold, naming: Naming): readonly BriefLine[] => [
  ...hold.looks.map((look) =>
    line(
      joinedText(
        timeOf(look),
        look.kind === 'invite' ? `invitation: ${look.who ?? ''}` : `${look.kind} by ${naming(look.person)}, ${look.as}`,
        look.how,
        look.remark,
        look.shown && `shown: ${look.shown}`,
        look['not-judged'] && `not judged: ${look['not-judged']}`,
        look.reason,
        look.findings.length > 0 ? `findings ${look.findings.join(', ')}` : undefined,
        look.voided && 'void since',
        look.answer && `signed answer ${look.answer.sha256.slice(0, 12)}`,
      ),
      look.kind === 'release' && look.voided === undefined ? 'good' : 'open',
    ),
  ),
  ...hold.findings.flatMap((finding) => [
    line(`Finding ${finding.finding}: ${finding.text} (${naming(finding.person)}, ${timeOf(finding)})`, 'open'),
    ...finding.answers.map((answer) => line(`  answered ${timeOf(answer)}: ${answer.remark} (${naming(answer.by)})`)),
    ...(finding.closed ? [line(`  closed ${timeOf(finding.closed)}`, 'good')] : []),
  ]),
];

const lookFor = (hold: RecordHold): readonly BriefLine[] =>
  hold['look-for'].map((what, index) => line(`${index + 1} ${what}`, 'strong'));

const holdSection = (document: RecordDocument, step: RecordStep, hold: RecordHold, naming: Naming): BriefSection => {
  const { job } = document;
  return {
    title: step.title,
    lines: [
      ...(hold['look-for'].length > 0 ? [line('Look for'), ...lookFor(hold)] : []),
      line(
        joinedText(
          withSide(job.title, job.side),
          `${job.procedure} revision ${job.revision}`,
          `done by ${hold.performers.map(naming).join(', ') || 'nobody yet'}`,
        ),
        'quiet',
      ),
      ...(hold['remote-allowed'] ? [] : [line('Not from elsewhere: the inspector is here in person.', 'quiet')]),
      ...looksLines(hold, naming),
    ],
  };
};

/** What was done in a step, besides its parts: taken in hand, left, opened again. */
const doneLines = (step: RecordStep, naming: Naming): readonly BriefLine[] => [
  ...(step.state === 'left for later' || step.state === 'not done'
    ? [
        line(
          `NOT DONE${step.skipped ? `: left for later, ${step.skipped.because}, before ${step.skipped.before}` : ''}`,
          'bad',
        ),
      ]
    : []),
  ...(step.reopened ?? []).map((one) => line(`opened again ${timeOf(one)}: ${one.because}`, 'open')),
  ...(step.materials ?? []).map(({ material, lot, taken }) =>
    line(joinedText(material, lot && `lot ${lot}`, taken && timeOf(taken))),
  ),
  ...(step.parts ?? []).flatMap(({ part, serial, lot, named, struck = [] }) => [
    line(joinedText(part, serial && `SN ${serial}`, lot && `lot ${lot}`, named && timeOf(named))),
    ...struck.map((one) => line(`  struck ${one.value}: ${one.reason} (${naming(one.by)}, ${timeOf(one)})`, 'quiet')),
  ]),
  ...(step.photos ?? []).map((photo) =>
    line(
      joinedText(
        `Photo ${photo.photo}`,
        photo.show,
        photo.file,
        timeOf(photo),
        photo.sha256.slice(0, 12),
        photo['set-aside'] && 'set aside',
      ),
    ),
  ),
];

const stepSection = (step: RecordStep, performers: readonly string[], naming: Naming): BriefSection => {
  const { readings = [], results = [], tighten, mix, cure } = step;
  return {
    title: joinedText(`${step.number} ${step.title}`, stepTimes(step), otherPeople(step, performers, naming)),
    lines: [
      ...doneLines(step, naming),
      ...readings.flatMap((reading) => readingLines(reading, naming)),
      ...results.flatMap(resultLines),
      ...(tighten ? fastenerLines(tighten, naming) : []),
      ...(mix ? mixLines(mix, naming) : []),
      ...(cure ? cureLines(cure) : []),
    ],
  };
};

const exceptions = (document: RecordDocument, seen: ReadonlySet<string>, naming: Naming): BriefSection => {
  const isSeen = ({ step }: { readonly step?: string }): boolean => step === undefined || seen.has(step);
  const loose = document.loose.filter((one) => isSeen(one) || seen.has(one.item));
  const lines = [
    ...document.departures
      .filter(isSeen)
      .flatMap((one) => [
        line(`Departure ${timeOf(one)}, ${one.code === 'manual' ? 'from the manual' : one.code}`, 'open'),
        line(`  says: ${one.says}`),
        line(`  did: ${one.did}`),
        line(`  because: ${one.because} (${naming(one.by)})`),
        ...(one.agreed ? [line(`  agreed: ${naming(one.agreed)}, ${one.agreement ?? 'by word, not signed'}`)] : []),
        ...[
          one.weight && `weight: ${one.weight}`,
          one.access && `access: ${one.access}`,
          one.steps && `steps: ${one.steps}`,
        ]
          .flatMap((text) => text ?? [])
          .map((text) => line(`  ${text}`)),
        ...(one.excepts ? [line(`  excepts: ${one.excepts.join('; ')}`)] : []),
      ]),
    ...document.nonconformances
      .filter(isSeen)
      .map((one) => line(`${one.open ? 'Not decided' : 'Decided'}: ${one.what}`, one.open ? 'bad' : 'open')),
    ...document.dispositions
      .filter(isSeen)
      .map((one) =>
        line(
          joinedText(
            `${one.as}: ${one.on}`,
            one.fastener === undefined ? undefined : `fastener ${one.fastener}`,
            one.position,
            one.reason,
            one['accepted-by'] && `accepted by ${naming(one['accepted-by'])}`,
            one.author && `letter of ${one.author}`,
            one.letter?.slice(0, 12),
            `${naming(one.by)}, ${timeOf(one)}`,
          ),
          'open',
        ),
      ),
    ...loose.flatMap((one) => [
      line(
        joinedText(
          `${one.tag} ${one.item}: ${one.count} left, ${one.open} open`,
          one.left,
          one.because,
          `before ${one.before}`,
          one.place,
          one.photo?.sha256.slice(0, 12),
          `${naming(one.by)}, ${timeOf(one)}`,
        ),
        one.open > 0 ? 'open' : 'plain',
      ),
      ...one.closings.map((closing) =>
        line(
          `  closed ${closing.count}${closing.gone === undefined ? '' : `, gone ${closing.gone}`}${closing.reason === undefined ? '' : `: ${closing.reason}`} (${naming(closing.by)}, ${timeOf(closing)})`,
        ),
      ),
    ]),
  ];
  return {
    title: 'Departures, decisions, loose items',
    lines: lines.length > 0 ? lines : [line('none', 'quiet')],
  };
};

/** A text without its punctuation, so that what is said in two fields can be read in one line. */
const plainWords = (text: string): string =>
  text
    .replace(/[,:;()]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/** What a leaf of the signed list says to a person: names for ids; no hash, no number of an entry, and no bare yes. */
const spoken = (leaf: string, document: RecordDocument, naming: Naming): string =>
  document.people
    .reduce((text, { person }) => text.replace(new RegExp(`(?<![\\w-])${person}(?![\\w-])`, 'g'), naming(person)), leaf)
    .replace(/\b[0-9a-f]{64}\b/g, '')
    .replace(/\S+:\d+=/g, '')
    .replace(/^(?:true|false)$/, '');

/** What the author called a step or a reading. */
const labelOf = ({ steps }: RecordDocument, id: string): string =>
  steps.find(({ step }) => step === id)?.title ??
  steps.flatMap(({ readings = [] }) => readings).find(({ reading }) => reading === id)?.ask ??
  id;

/** Whatever the signed list says and the sections do not: nothing that is signed is unseen, whatever is added to a record one day. */
const unsaid = (
  facts: readonly InspectedFact[],
  sections: readonly BriefSection[],
  document: RecordDocument,
  naming: Naming,
): readonly BriefLine[] => {
  const said = plainWords(sections.flatMap(({ title, lines }) => [title, ...lines.map(({ text }) => text)]).join(' '));
  return facts.flatMap(({ leaves, name }) => {
    const missing = leaves
      .map((leaf) => spoken(leaf, document, naming))
      .filter((leaf) => !said.includes(plainWords(leaf)));
    return missing.length === 0 ? [] : [line(`${labelOf(document, name)}: ${missing.join(', ')}`, 'quiet')];
  });
};

/**
 * What the person at a hold or witness point reads before they answer, in few lines. It is made from the same record as the list that is
 * signed, and whatever that list says that has no line of its own is added at the end.
 */
export const holdBrief = (document: RecordDocument, hold: string): readonly BriefSection[] => {
  const naming = namingOf(document);
  const step = document.steps.find((one) => one.step === hold);
  const seen = new Set(step?.hold?.of);
  const steps = document.steps.filter((one) => seen.has(one.step) && one.state !== 'did not apply');
  const sections = [
    ...(step?.hold ? [holdSection(document, step, step.hold, naming)] : []),
    ...steps.map((one) => stepSection(one, step?.hold?.performers ?? [], naming)),
    exceptions(document, seen, naming),
  ];
  const facts = inspectedFacts(document, hold);
  const list = linesOf(facts);
  const more = unsaid(facts, sections, document, naming);
  return [
    ...sections,
    ...(more.length > 0 ? [{ title: 'Also entered', lines: more }] : []),
    { title: `Signed: ${list.length} entries, SHA-256 ${digestOf(list).slice(0, 16)}`, lines: [] },
  ];
};
