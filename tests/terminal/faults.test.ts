import { EventEmitter } from 'node:events';
import { describe, expect, it } from 'vitest';
import { openTerminal } from '../../src/terminal/session.ts';
import { handTimers } from '../support/hand-timers.ts';

/** A terminal in memory: it keeps what is written, and every part of it can be made to fail. */
const begin = (options: { columns?: number; raw?: () => void } = {}) => {
  const writes: string[] = [];
  const stdin = Object.assign(new EventEmitter(), {
    setRawMode: options.raw ?? (() => {}),
    resume: () => {},
    pause: () => {},
  });
  const stdout = Object.assign(new EventEmitter(), {
    columns: options.columns ?? 80,
    rows: 24,
    write: (text: string) => writes.push(text),
  });
  const killed: string[] = [];
  const life = Object.assign(new EventEmitter(), {
    pid: 7,
    kill: (pid: number, signal: string) => killed.push(`${pid} ${signal}`),
  });
  const timers = handTimers();
  const terminal = openTerminal({ stdin, stdout, life, timers });
  return { terminal, stdin, stdout, life, timers, writes, killed };
};

describe('when something goes wrong with the terminal', () => {
  it('a failing output is a hang-up, once, and further failures are ignored', () => {
    const { terminal, stdout, killed } = begin();
    let left = 0;
    terminal.onLeave(() => left++);
    stdout.emit('error', Object.assign(new Error('broken pipe'), { code: 'EPIPE' }));
    stdout.emit('error', Object.assign(new Error('broken pipe'), { code: 'EPIPE' }));
    expect(left).toBe(1);
    expect(killed).toEqual(['7 SIGHUP']);
  });

  it('an input that ends is a hang-up', () => {
    const { terminal, stdin, killed } = begin();
    let left = 0;
    terminal.onLeave(() => left++);
    stdin.emit('end');
    expect(left).toBe(1);
    expect(killed).toEqual(['7 SIGHUP']);
  });

  it('a mode that cannot be set is ignored', () => {
    const raw = (): void => {
      throw Object.assign(new Error('setRawMode EIO'), { code: 'EIO' });
    };
    expect(() => begin({ raw }).terminal.leave()).not.toThrow();
  });

  it('a terminal that does not know its size counts as 80 by 24', () => {
    expect(begin({ columns: 0 }).terminal.size()).toEqual({ columns: 80, rows: 24 });
  });

  it('after leaving, nothing listens, writes or waits', () => {
    const { terminal, stdin, stdout, life, timers, writes } = begin();
    const heard: unknown[] = [];
    terminal.onKey((key) => heard.push(key));
    terminal.renderOptions.stdout.write('a');
    terminal.renderOptions.stdout.write('b');
    stdin.emit('data', '\u001b');
    terminal.leave();
    terminal.leave();
    const count = writes.length;
    terminal.renderOptions.stdout.write('late');
    terminal.bell();
    terminal.suspend();
    stdin.emit('data', 'x');
    timers.pass(10_000);
    expect(writes).toHaveLength(count);
    expect(heard).toEqual([]);
    expect(life.eventNames()).toEqual([]);
    expect(stdin.eventNames()).toEqual([]);
    expect(stdout.eventNames()).toEqual(['error']);
  });

  it('input that arrives together with the key that leaves is passed to nobody', () => {
    const { terminal, stdin } = begin();
    const heard: string[] = [];
    terminal.onKey((key) => {
      heard.push(key.kind === 'named' ? key.name : key.text);
      terminal.leave();
    });
    stdin.emit('data', 'qrm');
    expect(heard).toEqual(['q']);
  });

  it('a listener may be removed while it is called', () => {
    const { terminal, stdin } = begin();
    const heard: string[] = [];
    const off = terminal.onKey(() => {
      heard.push('first');
      off();
    });
    terminal.onKey(() => heard.push('second'));
    stdin.emit('data', 'ab');
    expect(heard).toEqual(['first', 'second', 'second']);
  });
});
