/** Which tokens `postern tokens --renew` takes the place of. */
export const RENEWABLE = ['look', 'crew', 'both'] as const;
