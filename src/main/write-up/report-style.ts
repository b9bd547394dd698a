import { LOOKS } from "../../shared/figures/look.ts";

const look = LOOKS.print;

/**
 * The style sheet of a report: a white sheet on a desk, one column, hairlines; the sheet alone in print, A4.
 */
export const REPORT_STYLE = `
:root{color-scheme:light}
*{box-sizing:border-box}
html{background:#e9e5da}
body{margin:0;color:${look.ink};font:16px/1.5 "Source Serif 4",Georgia,serif}
td,dd,.headlines{font-variant-numeric:tabular-nums lining-nums}
main{max-width:828px;margin:28px auto;padding:48px 54px 40px;background:${look.paper};border:1px solid ${look.hairline}}
h1{font-size:30px;line-height:1.15;font-weight:600;margin:0 0 4px}
h2{font-size:23px;line-height:1.2;font-weight:600;margin:0 0 2px}
h3{font-size:16.5px;font-weight:600;margin:26px 0 6px;padding-top:10px;border-top:1px solid ${look.hairline}}
p{margin:6px 0;max-width:66ch}
.soft,figcaption,th,dt,.level,.small{font-family:Inter,"Helvetica Neue",Arial,sans-serif;font-size:12px;line-height:1.45;color:${look.soft}}
section.shot{margin-top:40px;padding-top:22px;border-top:2px solid ${look.ink}}
dl.facts{display:grid;grid-template-columns:1fr 1fr;gap:6px 28px;margin:14px 0 0}
dl.facts div{display:grid;grid-template-columns:8.6em 1fr;gap:8px;align-items:baseline}
dl.facts dd{margin:0;font-size:14.5px;overflow-wrap:anywhere}
.headlines{display:grid;grid-template-columns:repeat(4,1fr);margin:20px 0 0;border-top:1px solid ${look.hairline};border-bottom:1px solid ${look.hairline}}
.headlines div{padding:10px 12px 12px}
.headlines div+div{border-left:1px solid ${look.hairline}}
.headlines div:first-child{padding-left:0}
.headlines b{display:block;font-size:27px;line-height:1.2;font-weight:600;color:${look.measuredText};white-space:nowrap}
.headlines .u{font-size:14.5px;white-space:nowrap}
.verdict{font-size:20px;line-height:1.35;margin:18px 0 2px}
table{border-collapse:collapse;width:100%;margin:4px 0 0;font-size:14.5px}
th{font-weight:400;text-align:left;padding:4px 10px 4px 0;border-bottom:1px solid ${look.ink};vertical-align:bottom}
td{padding:4px 10px 4px 0;border-bottom:1px solid ${look.hairline};vertical-align:top}
th:last-child,td:last-child{padding-right:0}
td.n,th.n{text-align:right;white-space:nowrap}
td.how{color:${look.soft};font-size:13.5px}
td.m{color:${look.measuredText}}
td.p{color:${look.predictedText}}
tr.sum td{border-bottom:0;font-weight:600}
svg.share{display:block;margin:2px 0 0 auto;fill:${look.measured}}
.notice{margin:8px 0 0;padding:2px 0 2px 12px;border-left:3px solid ${look.soft};max-width:70ch;font-size:14.5px}
.notice.warning,.notice.refusal{border-color:${look.predicted}}
.notice.danger{border-color:${look.danger}}
.danger .level{color:${look.danger}}
.level{display:block}
.figures{display:grid;grid-template-columns:1fr 1fr;gap:6px 8px;margin:6px -14px 0}
figure{margin:0;min-width:0;break-inside:avoid}
figure.wide{grid-column:1/-1}
figure svg{display:block;width:100%;height:auto}
figcaption{padding:0 14px 8px;max-width:92ch}
footer{margin-top:34px;padding-top:10px;border-top:1px solid ${look.hairline}}
@media screen and (max-width:700px){main{padding:24px 18px}.headlines{grid-template-columns:1fr 1fr}.figures,dl.facts{grid-template-columns:1fr}}
@page{size:A4;margin:15mm 16mm}
@media print{
html{background:none}
body{font-size:10.4pt}
main{max-width:none;margin:0;padding:0;border:0}
section.shot{break-before:page;margin-top:0;padding-top:0;border-top:0}
section.shot.only{break-before:auto;margin-top:22px;padding-top:14px;border-top:2px solid ${look.ink}}
/* No wider than the page, or the browser shrinks all of it. */
.figures{margin-right:0}
h2,h3{break-after:avoid}
tr,.notice,.headlines,.verdict,dl.facts div{break-inside:avoid}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
`;
