import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { expect } from 'vitest';
import { bundleTests, type Loaded } from './bundle.ts';
import type { Test } from './stand-in.ts';

/** The namespace in which the changed code and the tester meet. */
interface Meeting {
  activeMutant: string | undefined;
  hitCount: number | undefined;
  hitLimit: number | undefined;
  currentTestId: string | undefined;
  mutantCoverage: Coverage | undefined;
}

interface Coverage {
  readonly static: Readonly<Record<string, number>>;
  readonly perTest: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

interface Options {
  readonly dryfit: { readonly tests: readonly string[] };
}

interface Run {
  readonly testFilter?: readonly string[];
  readonly hitLimit?: number;
  readonly activeMutant: { readonly id: string };
  readonly mutantActivation: 'runtime' | 'static';
}

interface Ran {
  readonly id: string;
  readonly name: string;
  readonly timeSpentMs: number;
  /** The numbers by which the mutation tester knows that a test passed, or failed. */
  readonly status: 0 | 1;
  readonly failureMessage: string;
}

/**
 * A runner of tests for the mutation tester. It evaluates the tests and the code that they test anew for each change, in this process, and
 * stops at the first test that fails. The quickest files come first.
 */
export class InProcess {
  static inject = ['options'] as const;
  readonly #tests: readonly string[];
  readonly #meeting: Meeting;
  readonly #took = new Map<string, number>();
  /** The file of the test that runs. */
  #file = '';
  #load: (() => Loaded) | undefined;
  #loaded: Loaded | undefined;

  constructor({ dryfit }: Options) {
    this.#tests = dryfit.tests;
    const shared = globalThis as { __stryker__?: Meeting };
    shared.__stryker__ ??= {} as Meeting;
    this.#meeting = shared.__stryker__;
  }

  capabilities(): { readonly reloadEnvironment: boolean } {
    return { reloadEnvironment: true };
  }

  async init(): Promise<void> {
    this.#load = await bundleTests(this.#tests, resolve('tests/mutants/stand-in.ts'));
    // The files of the record's form are compared as they are; nothing is written here.
    expect.extend({
      toMatchFileSnapshot: (text: unknown, name: unknown) => ({
        pass: text === readFileSync(resolve(this.#file, '..', String(name)), 'utf8'),
        message: () => `not as it was kept in ${String(name)}`,
      }),
    });
  }

  async dryRun(): Promise<unknown> {
    const { tests, fault } = this.#collect();
    if (fault !== undefined) return { status: 'error', errorMessage: String(fault.stack ?? fault) };
    const ran = await this.#run(tests, false);
    for (const [index, { timeSpentMs }] of ran.entries()) {
      const file = tests[index]?.file ?? '';
      this.#took.set(file, (this.#took.get(file) ?? 0) + timeSpentMs);
    }
    return { status: 'complete', tests: ran, mutantCoverage: this.#meeting.mutantCoverage };
  }

  async mutantRun({ testFilter, hitLimit, activeMutant, mutantActivation }: Run): Promise<unknown> {
    const meeting = this.#meeting;
    Object.assign(meeting, { activeMutant: undefined, hitCount: 0, hitLimit });
    if (mutantActivation === 'static') meeting.activeMutant = activeMutant.id;
    const wanted = testFilter === undefined ? undefined : new Set(testFilter);
    const { tests, fault } = this.#collect(wanted);
    meeting.activeMutant = activeMutant.id;
    const ran = fault === undefined ? await this.#run(tests, true) : [failed('loads', 0, fault)];
    meeting.activeMutant = undefined;
    if (hitLimit !== undefined && (meeting.hitCount ?? 0) > hitLimit)
      return { status: 'timeout', reason: 'a loop without an end' };
    const first = ran.find(({ status }) => status === 1);
    return first === undefined
      ? { status: 'survived', nrOfTests: ran.length }
      : { status: 'killed', nrOfTests: ran.length, killedBy: [first.id], failureMessage: first.failureMessage };
  }

  #collect(wanted?: ReadonlySet<string>): { readonly tests: readonly Test[]; readonly fault?: Error } {
    const files = new Set([...(wanted ?? [])].map((id) => id.split('#')[0]));
    const names = this.#tests.filter((file) => wanted === undefined || files.has(file));
    const took = (file: string): number => this.#took.get(file) ?? 0;
    try {
      const { standIn, files } = (this.#loaded = this.#load?.() ?? { standIn: {} as never, files: {} });
      const tests = names
        .toSorted((one, two) => took(one) - took(two))
        .flatMap((file) => standIn.testsOf(file, files[file] ?? ((): undefined => undefined)));
      return { tests: wanted === undefined ? tests : tests.filter(({ id }) => wanted.has(id)) };
    } catch (error) {
      return { tests: [], fault: error instanceof Error ? error : new Error(String(error)) };
    }
  }

  async #run(tests: readonly Test[], stops: boolean): Promise<readonly Ran[]> {
    const ran: Ran[] = [];
    let from = 0;
    for (const file of new Set(tests.map(({ file }) => file))) {
      await this.#loaded?.standIn.runTests(
        tests.filter((each) => each.file === file),
        ({ id, file }) => {
          this.#file = file;
          this.#meeting.currentTestId = id;
          from = performance.now();
        },
        ({ id }, fault) => {
          this.#meeting.currentTestId = undefined;
          const took = performance.now() - from;
          ran.push(
            fault === undefined
              ? { id, name: id, timeSpentMs: took, status: 0, failureMessage: '' }
              : failed(id, took, fault),
          );
          return fault === undefined || !stops;
        },
      );
      if (stops && ran.at(-1)?.status === 1) break;
    }
    await this.#loaded?.standIn.endTests();
    return ran;
  }
}

const failed = (id: string, timeSpentMs: number, fault: unknown): Ran => ({
  id,
  name: id,
  timeSpentMs,
  status: 1,
  failureMessage: fault instanceof Error ? (fault.message === '' ? fault.name : fault.message) : String(fault),
});
