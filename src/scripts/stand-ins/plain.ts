/**
 * Characters that every terminal draws one column wide, that never join their neighbours, and that the bench is drawn with: ASCII, Latin,
 * Greek, punctuation, arrows that are not emoji, mathematics, frame lines, blocks, ticks. A test compares each of them with the real
 * measure of string-width and with the real segmenter.
 */
const characters = String.raw` -~\u00a1-\u00a8\u00aa-\u00ac\u00af-\u02ff\u0391-\u03a1\u03a3-\u03c9\u2010-\u2027\u2030-\u203b\u2190-\u2193\u2200-\u22ff\u2500-\u25a9\u25b2\u25b3\u25bc\u25bd\u25c6\u25c7\u25c9\u25cb\u25cc\u25cf\u2713\u2717`;

/** Text whose width is the count of its characters. */
export const narrowText = new RegExp(`^[${characters}]*$`);

/** Text that is cut between any two of its characters. A terminal's escape sequences may be in it. */
export const separateText = new RegExp(`^[\u001b${characters}]*$`);
