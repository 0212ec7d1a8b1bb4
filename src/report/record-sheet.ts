import type { RecordDocument } from '../record/document.ts';
import { glanceOf, type Glance } from '../record/glance.ts';
import { sheetHtml } from './html.ts';
import { namingOf, stampText, type Naming } from './people.ts';
import { backgroundBlocks } from './record-background.ts';
import { exceptionBlocks } from './record-exceptions.ts';
import { journalBlocks } from './record-journal.ts';
import { lines, stepBlocks } from './record-steps.ts';
import { facts, heading, joined, list, paragraph, warning, type Block, type Runs, type Sheet } from './sheet.ts';
import { withSide } from './side.ts';
import { sheetText } from './text.ts';

const manualText = ({ manual }: RecordDocument['job']): string | undefined =>
  manual &&
  [
    manual.document,
    manual.section && `section ${manual.section}`,
    manual.revision && `revision ${manual.revision}`,
    manual.date && `of ${manual.date}`,
  ]
    .filter(Boolean)
    .join(', ');

const headBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => {
  const { build, job, previous, signer } = document;
  return [
    ...facts(
      ...build.aircraft.map(({ name, value }): readonly [string, string] => [name, value]),
      ['Job', [{ code: job.job }]],
      ['Procedure', `${job.procedure}, revision ${job.revision}`],
      ['Manual', manualText(job)],
      ['Side', job.side],
      ['Purpose', job.purpose],
      ['Strict', job.strict ? 'no departure could overrule what this procedure refuses' : undefined],
      ['Started', stampText(job.started, naming)],
      ['Completed', job.completed ? stampText(job.completed, naming) : [{ strong: 'not complete' }]],
      ['Opened again', job.reopened && [{ strong: 'not complete any more' }, `: ${stampText(job.reopened, naming)}`]],
      [
        'Withdrawn',
        job.withdrawn && [
          `${job.withdrawn.because} (${stampText(job.withdrawn, naming)}). `,
          { strong: 'The work in this record does not count.' },
        ],
      ],
      ['Signer', naming(signer)],
      ['Build', [{ code: build.build }]],
      ['Procedure text', ['SHA-256 ', { code: job.sha256 }]],
      ['Build file', build.sha256 === undefined ? undefined : ['SHA-256 ', { code: build.sha256 }]],
      ['Follows the record', previous === undefined ? undefined : ['SHA-256 ', { code: previous }]],
    ),
    ...(job.warnings ?? []).flatMap(lines).map((line) => warning(`WARNING: ${line}`)),
  ];
};

/** `3, 1 open: …; decided: …`. What was decided stays, so that nothing looks better than it was. */
const glanceRuns = ({ open: still, decided }: Glance): Runs => {
  const all = (still?.length ?? 0) + decided.length;
  if (all === 0) return ['none'];
  if (still === undefined) return [{ strong: `${all}` }, `: ${decided.join('; ')}`];
  const names = [
    still.length === 0 ? 'none open' : `${still.length} open: ${still.join('; ')}`,
    ...(decided.length === 0 ? [] : [`${decided.length} decided: ${decided.join('; ')}`]),
  ];
  return [{ strong: `${all}` }, `, ${names.join('. ')}`];
};

const glanceBlocks = (document: RecordDocument): readonly Block[] => [
  heading(2, 'At a glance'),
  paragraph('Everything that did not go to plan, including what was put right.'),
  ...facts(...glanceOf(document).map((one) => [one.label, glanceRuns(one)] as const)),
];

const peopleBlocks = (document: RecordDocument): readonly Block[] => [
  heading(2, 'People'),
  ...document.people.flatMap((one) =>
    facts(
      ['Name', [{ strong: one.name ?? one.person }, one.name === undefined ? '' : ` (${one.person})`]],
      ['Follows', one.follows && `${one.follows}, whose key was lost; that they are the same person is not proved`],
      ['Powers', one.powers.join(', ') || 'none in this build'],
      ['Here', one.did.join(', ')],
      ['Keys', joined(one.keys.map((key) => [{ code: key }]))],
    ),
  ),
];

/** A record as a sheet: first what a stranger needs, then where the work differs from the manual, then the work step by step. */
export const recordSheet = (document: RecordDocument): Sheet => {
  const naming = namingOf(document);
  const title = `Record: ${withSide(document.job.title, document.job.side)}`;
  return {
    title,
    blocks: [
      heading(1, title),
      ...(document.scripted
        ? [warning('SCRIPTED: a rehearsal wrote this record, nothing in it happened at a bench.')]
        : []),
      ...headBlocks(document, naming),
      heading(2, 'Cautions'),
      ...list(document.statement.cautions),
      ...glanceBlocks(document),
      ...peopleBlocks(document),
      ...exceptionBlocks(document, naming),
      ...document.steps.flatMap((step) => stepBlocks(step, naming)),
      ...backgroundBlocks(document, naming),
      ...journalBlocks(document, naming),
      heading(2, 'What signed means'),
      ...list(document.statement.signed),
      paragraph('To check the signature without dryfit:'),
      {
        kind: 'verbatim',
        lines: [
          `ssh-keygen -Y verify -f allowed_signers -I ${document.signer} -n dryfit-record \\`,
          '  -s record.json.sig < record.json',
        ],
      },
    ],
  };
};

/** `record.html`: one page that needs no other file. */
export const recordHtml = (document: RecordDocument): string => sheetHtml(recordSheet(document));

/** The same in plain text of 80 columns. */
export const recordPlain = (document: RecordDocument): string => sheetText(recordSheet(document));
