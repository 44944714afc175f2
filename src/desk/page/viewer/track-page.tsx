import { usePacket } from '../api/queries.ts'
import { Drive } from '../packet/drive.tsx'
import { Scroller } from '../parts/scroller.tsx'
import type { PageProps } from './page-props.ts'

/** The drive that a file logs, where a finding is about all of it. */
export function TrackPage({ accession, file, label }: PageProps) {
  const { data: packet } = usePacket(accession)
  if (packet === undefined) return null
  return (
    <div className="stage">
      <Scroller className="stage-scroll drive-look" label={label}>
        <Drive packet={packet} file={file} />
      </Scroller>
    </div>
  )
}
