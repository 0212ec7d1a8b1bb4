import { workerData } from 'node:worker_threads';
import { verifyShare, type SignatureBatch } from '../../proof/batch.ts';

/** The entry of another thread that verifies signatures: see `signature-threads.ts`. It is built into a file of its own. */
verifyShare(workerData as SignatureBatch);
