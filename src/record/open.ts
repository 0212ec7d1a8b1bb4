import type { RecordDocument, RecordNonconformance } from './document.ts';
import type { RecordLoose } from './parts/loose.ts';
import type { RecordBatch } from './parts/mix.ts';

/** What a record leaves open: samples still to be broken, items still loose, nonconformances not yet decided. */
export const samplesOwed = ({ steps }: RecordDocument): readonly RecordBatch[] =>
  steps
    .flatMap(({ mix }) => mix?.batches ?? [])
    .filter((batch) => batch.sample && !batch.sample.broken && !batch.discarded && !batch['set-aside']);

export const looseOpen = ({ loose }: RecordDocument): readonly RecordLoose[] =>
  loose.filter((one) => one.open > 0 && one['set-aside'] === undefined);

export const nonconformancesOpen = ({ nonconformances }: RecordDocument): readonly RecordNonconformance[] =>
  nonconformances.filter((one) => one.open);
