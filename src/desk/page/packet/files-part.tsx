import { useMemo } from 'react'
import { Link } from 'wouter'
import type { FileView, PacketView } from '../../contract.ts'
import { bytesText, count } from '../logic/amounts.ts'
import type { Look } from '../logic/looks.ts'
import { type PacketAddress, writePacketAddress } from '../logic/packet-address.ts'
import { EvidenceBoard } from '../viewer/evidence-board.tsx'

/** Every file as it was received, with its digest; the one that is chosen beside them. */
export function FilesPart({ packet, address }: { packet: PacketView; address: PacketAddress }) {
  const { files, row, view } = packet
  const chosen = files.find(({ number }) => number === address.file)
  const kinds = new Map(view?.files.files.map((file) => [file.file, file]))
  const looks = useMemo(() => (chosen === undefined ? [] : [wholeFile(chosen)]), [chosen])
  return (
    <div className={chosen === undefined ? 'part' : 'part files-open'}>
      <section aria-label="Files">
        <h2 className="hidden">Files</h2>
        {view === null ? null : (
          <p className="quiet">
            Digest of the packet, over all files: <code>{view.head.digest}</code>
          </p>
        )}
        <ul className="file-lines">
          {files.map((file) => {
            const { number, path, bytes, sha256, media, pages } = file
            const told = kinds.get(path)
            return (
              <li key={number} className={file === chosen ? 'chosen' : undefined}>
                <Link
                  href={`/packets/${encodeURIComponent(row.accession)}${writePacketAddress({ part: 'files', file: number })}`}
                  aria-current={file === chosen ? 'true' : undefined}
                >
                  {path}
                </Link>
                <span className="below">
                  {[told?.kind, media, bytesText(bytes), pages > 0 ? count(pages, 'page') : null]
                    .filter(Boolean)
                    .join(', ')}
                </span>
                {told?.problems.map((problem) => (
                  <span key={problem} className="below">
                    <strong>Problem:</strong> {problem}
                  </span>
                ))}
                <code>{sha256}</code>
              </li>
            )
          })}
        </ul>
        {view?.problems ? (
          <>
            <h3>{view.problems.heading}</h3>
            <ul className="plain">
              {view.problems.lines.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          </>
        ) : null}
      </section>
      {chosen === undefined ? null : (
        <section aria-label="The chosen file">
          <EvidenceBoard key={chosen.number} accession={row.accession} looks={looks} files={files} />
        </section>
      )}
    </div>
  )
}

const wholeFile = ({ path }: FileView): Look => ({ file: path, page: 1, marks: [], words: [], label: null, end: null })
