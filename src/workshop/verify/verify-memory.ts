import { journalDoubt } from '../../job/line-types.ts';
import type { Link } from '../../proof/chain.ts';
import { foundWrong, foundOpen, noted, passed, type Observation } from '../../record/observe.ts';
import type { JournalRead } from '../../store/journal-read.ts';
import { journalFile, linePlace } from '../../store/layout.ts';
import { readLastLine, recallWriter } from '../../store/writer-memory.ts';
import { realState, writerFlaw } from '../../store/writers.ts';
import type { Workplace } from '../place.ts';

/**
 * Compares the journal with what this machine remembers of its own file: whether its end was cut off or changed. Without a memory
 * there is nothing to say: another machine wrote the state, or it was brought to this folder.
 */
export const memoryObservations = (
  { disk, config, state }: Workplace,
  journal: JournalRead,
): readonly Observation[] => {
  const real = realState(disk, state);
  if (!real.ok || journal.build === undefined) return [];
  const memory = recallWriter({ disk, config, build: journal.build, realState: real.value });
  if (memory === undefined) return [];
  if (memory === 'unreadable') return [noted('what this machine remembered of its own file cannot be read', 'journal')];
  const { writer, seq, hash, writing } = memory;
  const where = journalFile(writer);
  const flaw = writerFlaw(memory, journal);
  if (flaw === undefined)
    return [passed(`it has the ${seq} entries that this machine remembers having written`, where)];
  // A session that was killed before its first line leaves the file as it was.
  const links = journal.files.find((file) => file.writer === writer)?.links ?? [];
  const isAsLeft = seq === 0 || links[seq - 1]?.hash === hash;
  return [(writing && isAsLeft ? noted : foundWrong)(flaw, where)];
};

/**
 * What machines have said of files that they could not continue. Whoever cut the end off such a file, or put an older copy in its place,
 * did it before that line; the entries may still come back from another copy.
 * @param links all lines.
 */
export const doubtObservations = (links: readonly Link[]): readonly Observation[] => {
  const told = links.flatMap((link) => {
    const text = link.line.seq === 1 ? link.line.data[journalDoubt] : undefined;
    return typeof text === 'string' ? [{ text, place: linePlace(link.line) }] : [];
  });
  if (told.length === 0) return [];
  const lengths = new Map<string, number>();
  for (const { line } of links) lengths.set(line.writer, Math.max(lengths.get(line.writer) ?? 0, line.seq));
  const here = new Set(links.map(({ hash }) => hash));
  return told.map(({ text, place }) => {
    const last = readLastLine(text);
    if (last === undefined) return noted(`its machine could not continue another file: ${text}`, place);
    const { writer, seq, hash } = last;
    const file = journalFile(writer);
    if (seq === 0 || here.has(hash))
      return noted(
        `its machine could not continue ${file}: a session there had begun to write and left no entry`,
        place,
      );
    const missing = Math.max(1, seq - (lengths.get(writer) ?? 0));
    return foundOpen(
      'missing',
      `its machine had written ${file} up to entry ${seq}, and found it cut off or changed: bring that file back from another copy`,
      place,
      missing,
    );
  });
};
