// SPDX-License-Identifier: MIT
using Markdig;
using Markdig.Renderers;
using Markdig.Renderers.Html;
using Markdig.Syntax;
using Markdig.Syntax.Inlines;

namespace Sweepbook.Report;

/// <summary>The text cells of a notebook as page text. HTML inside them stays text.</summary>
internal static class MarkdownText
{
    private static readonly MarkdownPipeline Pipeline =
        new MarkdownPipelineBuilder().UsePipeTables().UseEmphasisExtras().DisableHtml().Build();

    /// <summary>The last heading of a cell, as plain text.</summary>
    public static string? LastHeading(string source) =>
        Markdown.Parse(source, Pipeline).Descendants<HeadingBlock>().Select(Plain).LastOrDefault();

    /// <summary>The first heading of the first level, as plain text.</summary>
    public static string? Title(string source) =>
        Markdown.Parse(source, Pipeline).Descendants<HeadingBlock>().Where(heading => heading.Level == 1).Select(Plain).FirstOrDefault();

    /// <summary>The cell as HTML.</summary>
    /// <param name="source">Markdown.</param>
    /// <param name="withoutTitle">Leave out the first heading of the first level, because the page shows it as its own.</param>
    /// <param name="onHeading">Told of each heading of the second level; answers its identifier in the page.</param>
    public static string ToHtml(string source, bool withoutTitle, Func<string, string> onHeading)
    {
        var document = Markdown.Parse(source, Pipeline);
        var titleLeft = withoutTitle;
        foreach (var heading in document.Descendants<HeadingBlock>().ToArray())
        {
            if (heading.Level == 1)
            {
                if (titleLeft)
                {
                    titleLeft = false;
                    heading.Parent!.Remove(heading);
                    continue;
                }
                heading.Level = 2;   // a page has one first heading
            }
            if (heading.Level == 2) heading.GetAttributes().Id = onHeading(Plain(heading));
        }
        using var writer = new StringWriter();
        var renderer = new HtmlRenderer(writer);
        Pipeline.Setup(renderer);
        renderer.Render(document);
        return writer.ToString();
    }

    private static string Plain(HeadingBlock heading) =>
        string.Concat(heading.Inline?.Descendants().Select(inline => inline switch
        {
            LiteralInline text => text.Content.ToString(),
            CodeInline code => code.Content,
            HtmlEntityInline entity => entity.Transcoded.ToString(),
            _ => "",
        }) ?? []).Trim();
}
