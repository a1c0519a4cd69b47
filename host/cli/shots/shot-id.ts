/** `3` is the third shot of the session, as its id has it; an id is itself. @param sessionId  undefined: there is none */
export const shotIdOf = (shot: string, sessionId: string | undefined): string =>
  sessionId !== undefined && /^\d{1,6}$/.test(shot) ? `${sessionId}-${String(Number(shot)).padStart(3, '0')}` : shot;
