/** A name with the side that it is about, where there is one: `Aileron travel, left`. */
export const withSide = (name: string, side: string | undefined): string =>
  side === undefined ? name : `${name}, ${side}`;
