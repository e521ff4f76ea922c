// The measures as a table for a screen reader, a spreadsheet or a printer: made when the link is followed.
const columns = ['id', 'value', 'unit', 'class', 'quarters', 'uncertainty', 'source'];

const cell = (value) => {
  const text = value === undefined || value === null ? '' : String(value);
  return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

export function measuresTable(report) {
  const rows = [columns, ...report.measures.map((measure) => columns.map((column) => measure[column]))];
  for (const missing of report.not_measurable ?? []) rows.push([missing.id, '', `needs ${(missing.needs ?? []).join(' ')}`]);
  return rows.map((row) => row.map(cell).join(',')).join('\r\n') + '\r\n';
}

export function offerMeasuresTable(program) {
  const link = document.getElementById('measures-link');
  link.addEventListener('click', () => {
    if (link.href.startsWith('blob:')) URL.revokeObjectURL(link.href);
    link.href = URL.createObjectURL(new Blob([measuresTable(program.read('ic_measures'))], { type: 'text/csv' }));
  });
}
