import { workerData } from 'node:worker_threads';
import { takeShare, type SignatureBatch } from '../../proof/batch.ts';

/** A further thread that looks at signatures: see `signature-threads.ts`. Built into a file of its own. */
takeShare(workerData as SignatureBatch);
