import type { PacketView } from '../../contract.ts'
import { Calibrations } from './calibrations.tsx'
import { Drive } from './drive.tsx'

/** Drives as they were logged, and how far each calibration came. */
export function DrivePart({ packet }: { packet: PacketView }) {
  return (
    <div className="part">
      {packet.files
        .filter(({ track }) => track)
        .map((file) => (
          <section key={file.number} className="drive">
            <h2>Drive of {file.path}</h2>
            <Drive packet={packet} file={file} />
          </section>
        ))}
      <Calibrations documents={packet.report?.documents ?? []} />
    </div>
  )
}
