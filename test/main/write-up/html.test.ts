import { expect, it } from "vitest";
import { html, trusted } from "../../../src/main/write-up/html.ts";

it("html escapes every value, in text and in attributes", () => {
  const evil = `"><img src=x onerror='a'>&`;
  expect(html`<p title="${evil}">${evil}</p>`.text).toBe(
    '<p title="&quot;&gt;&lt;img src=x onerror=&#39;a&#39;&gt;&amp;">&quot;&gt;&lt;img src=x onerror=&#39;a&#39;&gt;&amp;</p>',
  );
});

it("html nests its own pieces and lists, and writes nothing for null", () => {
  expect(
    html`<ul>${["a<", "b"].map((x) => html`<li>${x}</li>`)}${null}${3}${trusted("<b>c</b>")}</ul>`.text,
  ).toBe("<ul><li>a&lt;</li><li>b</li>3<b>c</b></ul>");
});
