import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { chainReader, type Link } from '../../src/proof/chain.ts';
import { signed } from '../../src/proof/line.ts';
import { namespaces, signedData } from '../../src/proof/sshsig.ts';
import { publicKeyReader } from '../../src/workshop/journal/public-keys.ts';
import { verifyAhead } from '../../src/workshop/journal/signature-threads.ts';
import { loop, type Loop } from './fixtures/verify-loop.ts';
import { linesOf, signer, writer } from './journal.ts';
import { compared, type Places, type Result } from './measures.ts';
import { inTurns } from './statistics.ts';

const linksOf = (count: number): readonly Link[] => {
  const reader = chainReader(writer, 'journal');
  for (const { text } of linesOf(count)) reader.take(text);
  return reader.chain().links;
};

const shared = (parts: readonly Uint8Array[]): Uint8Array => {
  const bytes = new Uint8Array(new SharedArrayBuffer(parts.reduce((sum, { length }) => sum + length, 0)));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
};

/** The signatures that both sides verify. */
const loopOver = (links: readonly Link[]): Omit<Loop, 'progress'> => {
  const data = links.map(({ line }) => signedData(namespaces.entry, signed(line)));
  return {
    signed: shared(data),
    width: data[0]?.length ?? 0,
    signatures: shared(links.map(({ line }) => Buffer.from(line.sig, 'base64'))),
    key: Buffer.from(signer.publicKey.raw).toString('base64url'),
  };
};

/** Verifying the signatures of a journal as it is read, against node:crypto's verify over prepared bytes; both on all cores. */
export const verifying = async ({ fixtures }: Places): Promise<Result> => {
  const links = linksOf(40_000);
  const bare = loopOver(links);
  const count = availableParallelism();
  const threads = { script: join(fixtures, 'signature-worker.js'), count };
  const timed = (work: () => void): Promise<number> => {
    const begun = performance.now();
    work();
    return Promise.resolve(performance.now() - begun);
  };
  const pairs = await inTurns(
    7,
    () =>
      timed(() => {
        const ahead = verifyAhead(links, publicKeyReader(), threads);
        if (ahead !== undefined && !links.every(ahead.isGood)) throw new Error('not good');
        ahead?.end();
      }),
    () =>
      timed(() => {
        const progress = new Int32Array(new SharedArrayBuffer(8));
        const workerData: Loop = { ...bare, progress };
        for (let more = 1; more < count; more += 1)
          new Worker(join(fixtures, 'verify-loop.js'), { workerData, execArgv: [] }).unref();
        loop(workerData);
        for (let done = Atomics.load(progress, 1); done < count; done = Atomics.load(progress, 1))
          Atomics.wait(progress, 1, done);
      }),
  );
  return compared(`40,000 signatures, ${count} cores`, 'node:crypto verify', 1.2, pairs);
};
