import type { RecordDocument, RecordNonconformance } from './document.ts';
import type { RecordLoose } from './parts/loose.ts';
import type { RecordBatch } from './parts/mix.ts';

/** Samples that are still to be broken. */
export const samplesOwed = ({ steps }: RecordDocument): readonly RecordBatch[] =>
  steps
    .flatMap(({ mix }) => mix?.batches ?? [])
    .filter((batch) => batch.sample && !batch.sample.broken && !batch.discarded && !batch['set-aside']);

/** Loose items that are not yet closed. */
export const looseOpen = ({ loose }: RecordDocument): readonly RecordLoose[] => loose.filter((one) => one.open > 0);

/** Nonconformances that are not yet decided. */
export const nonconformancesOpen = ({ nonconformances }: RecordDocument): readonly RecordNonconformance[] =>
  nonconformances.filter((one) => one.open);
