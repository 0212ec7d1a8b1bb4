import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { relative } from 'node:path';
import { isInSample, isWording, leftOut, nameOf, textAt, type Span } from './mutant.ts';
import { InProcess } from './runner.ts';
import { triedOf, type Result } from './scores.ts';

interface Options {
  readonly dryfit: { readonly every: number; readonly found: readonly string[]; readonly soFar: string };
}

interface Change {
  readonly id: string;
  readonly fileName: string;
  readonly mutatorName: string;
  readonly location: Span;
  readonly replacement: string;
}

type Answer = { readonly status: 'passed' } | { readonly status: 'compileError'; readonly reason: string };

/**
 * A checker of the mutation tester: it is asked of each change before any test is run with it. What it turns down is no part of the score.
 */
class LeftOut {
  static inject = ['options'] as const;
  readonly #every: number;
  readonly #found: ReadonlySet<string>;
  readonly #sources = new Map<string, string>();

  constructor({ dryfit }: Options) {
    this.#every = dryfit.every;
    this.#found = new Set(dryfit.found);
  }

  async init(): Promise<void> {
    // There is nothing to prepare.
  }

  async check(changes: readonly Change[]): Promise<Record<string, Answer>> {
    const answers = changes.map((change): [string, Answer] => {
      const reason = this.#reason(change);
      return [change.id, reason === undefined ? { status: 'passed' } : { status: 'compileError', reason }];
    });
    return Object.fromEntries(answers);
  }

  async group(changes: readonly Change[]): Promise<string[][]> {
    return [changes.map(({ id }) => id)];
  }

  #sourceOf(file: string): string {
    const source = this.#sources.get(file) ?? readFileSync(file, 'utf8');
    this.#sources.set(file, source);
    return source;
  }

  #reason({ fileName, mutatorName, location, replacement }: Change): string | undefined {
    const was = textAt(this.#sourceOf(fileName), location);
    const name = nameOf(relative(process.cwd(), fileName), mutatorName, was, replacement);
    if (isWording(mutatorName, was)) return leftOut.wording;
    if (!isInSample(name, this.#every)) return leftOut.sample;
    return this.#found.has(name) ? leftOut.found : undefined;
  }
}

/** A reporter of the mutation tester: it keeps each result as it comes, so that a run that is cut short is not lost. */
class SoFar {
  static inject = ['options'] as const;
  readonly #file: string;

  constructor({ dryfit }: Options) {
    this.#file = dryfit.soFar;
    writeFileSync(this.#file, '');
  }

  onMutantTested(result: Result): void {
    const tried = triedOf(result);
    if (tried.reason === undefined) appendFileSync(this.#file, `${JSON.stringify(tried)}\n`);
  }
}

export const strykerPlugins = [
  { kind: 'Checker', name: 'left-out', injectableClass: LeftOut },
  { kind: 'Reporter', name: 'so-far', injectableClass: SoFar },
  { kind: 'TestRunner', name: 'in-process', injectableClass: InProcess },
];
