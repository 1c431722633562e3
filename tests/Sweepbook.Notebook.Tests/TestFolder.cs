// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;

namespace Sweepbook.Notebook.Tests;

/// <summary>A folder for one test with what it writes, removed afterwards.</summary>
internal sealed class TestFolder : IDisposable
{
    public TestFolder() => Directory.CreateDirectory(Path);

    public string Path { get; } = System.IO.Path.Combine(System.IO.Path.GetTempPath(), "sweepbook-" + Guid.NewGuid().ToString("N")[..10]);

    public string File(string name) => System.IO.Path.Combine(Path, name);

    /// <summary>Writes a notebook of these cells.</summary>
    public string Notebook(params ReadOnlySpan<TestCell> cells)
    {
        var array = new JsonArray();
        foreach (var cell in cells) array.Add(cell.ToJson(array.Count));
        var root = new JsonObject
        {
            ["cells"] = array,
            ["metadata"] = new JsonObject { ["kernelspec"] = new JsonObject { ["display_name"] = "Sweepbook (C#)", ["language"] = "C#", ["name"] = "sweepbook" } },
            ["nbformat"] = 4,
            ["nbformat_minor"] = 5,
        };
        var path = File("test.ipynb");
        System.IO.File.WriteAllText(path, root.ToJsonString());
        return path;
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);

    /// <summary>The folder of the repository that the tests were built from.</summary>
    public static string Repository
    {
        get
        {
            var folder = new DirectoryInfo(AppContext.BaseDirectory);
            while (folder is not null && !System.IO.File.Exists(System.IO.Path.Combine(folder.FullName, "Sweepbook.slnx"))) folder = folder.Parent;
            return folder?.FullName ?? throw new InvalidOperationException("The tests do not run inside the repository.");
        }
    }

    /// <summary>The set-up of a notebook that may draw the synthetic figures.</summary>
    public static TestCell Setup => TestCell.Code(
        $"#load \"{Repository.Replace('\\', '/')}/notebooks/sweepbook.csx\"\n#r \"{typeof(TestFolder).Assembly.Location.Replace('\\', '/')}\"\nusing Sweepbook.Notebook; using Sweepbook.Notebook.Tests; using Sweepbook.Trust;");
}

/// <summary>One cell of a notebook made by a test.</summary>
internal sealed record TestCell(string Kind, string Source, string[] Tags)
{
    public static TestCell Code(string source, params string[] tags) => new("code", source, tags);

    public static TestCell Text(string source, params string[] tags) => new("markdown", source, tags);

    public JsonObject ToJson(int number)
    {
        var cell = new JsonObject
        {
            ["cell_type"] = Kind,
            ["id"] = $"cell-{number}",
            ["metadata"] = new JsonObject { ["tags"] = new JsonArray([.. Tags.Select(tag => (JsonNode)tag)]) },
            ["source"] = Source,
        };
        if (Kind == "code") (cell["execution_count"], cell["outputs"]) = (null, new JsonArray());
        return cell;
    }
}
