import type { FileView, PacketView } from '../../contract.ts'
import { useTrack } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { count, durationText } from '../logic/amounts.ts'
import { readDriveFacts } from '../logic/drive-facts.ts'
import { shapeSpeed } from '../logic/speed-shape.ts'
import { shapeTrack, speedsOf } from '../logic/track-shape.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Waiting } from '../parts/waiting.tsx'
import { SpeedChart } from './speed-chart.tsx'
import { TrackDrawing } from './track-drawing.tsx'

const clocks = { utc: 'UTC', local: 'local time', elapsed: 'since the log began' } as const

/** One drive: its speed over time and its track. */
export function Drive({ packet, file }: { packet: PacketView; file: FileView }) {
  const track = useTrack(packet.row.accession, file.number)
  const facts = readDriveFacts(packet.report?.findings ?? [], file.path)
  if (track.isError) return <ProblemNote problem={problemOf(track.error)} retry={() => void track.refetch()} small />
  if (track.isPending) return <Waiting what={`the drive of ${file.path}`} />
  const { points, clock, offset } = track.data
  const speeds = speedsOf(points)
  const speed = shapeSpeed(speeds.points, facts.gapSeconds)
  const ground = shapeTrack(points, { width: 420, height: 300 })
  return (
    <>
      <p className="quiet">
        {count(points.length, 'point')}
        {speed === null ? '' : `, ${durationText(speed.seconds[1] - speed.seconds[0])}`}; its clock: {clocks[clock]}
        {offset === null ? '' : ` ${offset}`}
        {speeds.from === 'places' ? '; speeds are worked out from place to place, as the log has none' : ''}. Locations
        are personal data.
      </p>
      <div className="drive-figures">
        {speed === null ? (
          <p>The log tells no speeds over time.</p>
        ) : (
          <SpeedChart shape={speed} facts={facts} accession={packet.row.accession} />
        )}
        {ground === null ? <p>The log tells no places.</p> : <TrackDrawing shape={ground} />}
      </div>
    </>
  )
}
