/** How samples are put together from their tables: one statement for the view, the macro, exports and spans. */

/**
 * @param blocks  which blocks, over the columns of sample_blocks
 * @param readings  which readings, over the columns of sample_readings
 * @returns SELECT of session, channel, stream, at_ns, value_si, count (null where the number came by itself)
 */
export const samplesSql = (blocks: string, readings: string): string =>
  `SELECT b.session, b.channel, b.stream, b.from_ns + CAST(round(s.i * b.period_ns) AS BIGINT) AS at_ns,
      c.value_si + b.added_si AS value_si, s.count
    FROM sample_counts s
    JOIN (SELECT * FROM sample_blocks WHERE ${blocks}) b ON b.block = s.block
    LEFT JOIN calibration_values c
      ON c.session = b.session AND c.channel = b.channel AND c.calibration = b.calibration AND c.count = s.count
    UNION ALL
    SELECT session, channel, stream, at_ns, value_si, NULL FROM sample_readings WHERE ${readings}`;
