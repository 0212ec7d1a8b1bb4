import type { RecordDocument } from '../record/document.ts';
import { timeText, type Naming } from './people.ts';
import { facts, heading, joined, paragraph, type Block, type Runs } from './sheet.ts';

/** Every entry of the job, with the hash of its line. */
export const journalBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => [
  heading(2, 'Entries'),
  paragraph(
    `Each is a line of the journal. The last line that this record knows of is ${document.journal.writer}:${document.journal.seq}, SHA-256 `,
    { code: document.journal.hash },
    '.',
  ),
  ...facts(
    ...document.journal.entries.map((entry): readonly [string, Runs] => [
      entry.entry,
      [
        ...joined([
          entry.type,
          entry.step,
          naming(entry.by),
          timeText(entry),
          entry.also && `signed too by ${entry.also.map(naming).join(', ')}`,
          entry.doubtful && 'the clock was in doubt',
        ]),
        ' ',
        { code: entry.hash },
      ],
    ]),
  ),
];
