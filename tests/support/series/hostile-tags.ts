/** Names that a rig file allows and line protocol has a use of its own for. */
export const hostileTexts: readonly string[] = [
  'Heron',
  'two words',
  'a=b,c d',
  '"quoted"',
  "it's",
  'back\\slash',
  'ends in a backslash\\',
  '\\, \\= \\ ',
  '{rig="x"}',
  '# no comment',
  'Übung Öland 60 mm',
  '弓',
  '$(x) `y` %s',
  '<b>&amp;',
];
