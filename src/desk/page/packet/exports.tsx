import { packetPath } from '../api/queries.ts'

const forms = [
  ['html', 'page'],
  ['pdf', 'PDF'],
  ['csv', 'CSV'],
  ['json', 'JSON'],
] as const

/** The last report as a file. */
export function Exports({ accession }: { accession: string }) {
  return (
    <p className="exports">
      <span className="quiet">Report as</span>
      {forms.map(([form, words]) => (
        <a key={form} href={`${packetPath(accession)}/report.${form}`} download>
          {words}
        </a>
      ))}
    </p>
  )
}
