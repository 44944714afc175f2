/** Labels and what stands beside them, a line each. */
export function FieldList({ fields }: { fields: readonly { label: string; lines: readonly string[] }[] }) {
  return (
    <dl className="facts">
      {fields.map(({ label, lines }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>
            {lines.map((line) => (
              <p key={line}>{line}</p>
            ))}
          </dd>
        </div>
      ))}
    </dl>
  )
}
