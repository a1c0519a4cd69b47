/** Why a text instrument's line gave no number. A reason that is not here is shown as it comes. */
export const UNREAD_WORDS: Readonly<Record<string, string>> = {
  'too-long': 'line too long',
  'not-text': 'not readable text',
  'no-match': 'pattern does not match',
  'too-few-columns': 'too few columns',
  'not-a-number': 'not a number',
};
