/**
 * Replaces ink/build/utils.js: no developer tools watch the program, whatever the variable DEV says. The function is empty because the
 * bundler knows the answer of an empty function, and leaves out what would follow a yes.
 */
export function isDev(): void {}
