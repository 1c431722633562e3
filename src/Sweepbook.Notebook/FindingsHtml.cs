// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>Findings as a list of sentences; the severity stands in front as a word, not as a colour alone.</summary>
internal static class FindingsHtml
{
    /// <summary>The severity as the first words of the sentence.</summary>
    public static string Lead(Finding finding) => finding.Severity switch { Severity.Caution => "With care: ", Severity.Fault => "Fault: ", _ => "" };

    public static string Of(IEnumerable<Finding> findings)
    {
        var html = new StringBuilder("<ul class=\"sweepbook-findings\">");
        var any = false;
        foreach (var finding in findings)
        {
            any = true;
            var word = Lead(finding);
            html.Append("<li data-severity=\"").Append(finding.Severity.ToString().ToLowerInvariant()).Append("\">");
            if (word.Length > 0) html.Append("<strong>").Append(word).Append("</strong>");
            html.Append(Html(finding.Sentence)).Append("</li>");
        }
        if (!any) return "";   // no list where there is nothing to say
        return html.Append("</ul><p class=\"sweepbook-source\">From this file: findings.csv</p>").ToString();
    }
}
