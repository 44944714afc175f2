/** Packets of calibration records, one file each unless several are given for it. */
import type { CalibrationReading } from '../../../src/facts/document.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { makeDocument, makeEvent, makePacket, makePlace } from '../packet-builder.ts'

export type RecordParts = Partial<CalibrationReading> & {
  /** Minutes after 14:00 UTC at which it started and ended, where the timeline knows it. */
  ran?: readonly [number, number]
}

/** A front radar, dynamic, completed, unless said otherwise. */
export function makeReading(parts: RecordParts = {}): CalibrationReading {
  const { ran: _, ...rest } = parts
  return { sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed', ...rest }
}

/** Each inner list is one file, `cal-1.pdf` and so on. */
export function packetOf(...files: readonly (readonly RecordParts[])[]): Packet {
  const documents = files.map((records, number) =>
    makeDocument('calibration', `cal-${number + 1}.pdf`, {
      calibrations: records.map(makeReading),
      evidence: Object.fromEntries(
        records.flatMap((record, index) => [
          [`calibrations.${index}`, [makePlace('record')]],
          [`calibrations.${index}.outcome`, [makePlace(`Result: ${record.outcome ?? 'completed'}`)]],
          [`calibrations.${index}.progressPercent`, [makePlace(`${record.progressPercent} %`)]],
        ]),
      ),
    }),
  )
  const events = files.flatMap((records, document) =>
    records.map(({ ran }, calibration) => {
      const [start, end] = ran === undefined ? [null, null] : [instant(ran[0]), instant(ran[1])]
      const file = `cal-${document + 1}.pdf`
      return makeEvent(`calibration-${document + 1}${calibration}`, start, end, { file, document, calibration })
    }),
  )
  return makePacket(documents, { events })
}

function instant(minutes: number): string {
  const [hour, minute] = [14 + Math.floor(minutes / 60), minutes % 60]
  return `2026-10-20T${hour}:${String(minute).padStart(2, '0')}:00Z`
}
