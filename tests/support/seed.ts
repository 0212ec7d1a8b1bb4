import fc from 'fast-check';

/**
 * The properties of `npm test` try the same cases each time, so that a run says something of the change and not of its luck. `npm run laws`
 * gives a new number each time; a law that breaks there prints it, and `SEED=NUMBER` tries the same cases again.
 */
const seed = Number(process.env['SEED'] ?? 20_261_201);

fc.configureGlobal({ ...fc.readConfigureGlobal(), seed });
