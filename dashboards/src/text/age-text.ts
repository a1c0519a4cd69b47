/** @param ageS  s; a small negative age is a clock's jitter and shown as none */
export function ageText(ageS: number): string {
  if (ageS < 10) return `${Math.max(0, ageS).toFixed(1)} s`;
  if (ageS < 120) return `${Math.floor(ageS)} s`;
  if (ageS < 7200) return `${Math.floor(ageS / 60)} min`;
  return `${Math.floor(ageS / 3600)} h`;
}
