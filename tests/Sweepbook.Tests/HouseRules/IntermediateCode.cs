// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Reflection.Emit;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;

namespace Sweepbook.Tests.HouseRules;

/// <summary>Finds the metadata tokens in a method body. Source of the encoding: ECMA-335, partition III.</summary>
public static class IntermediateCode
{
    private static readonly Dictionary<ushort, OpCode> Codes = typeof(OpCodes)
        .GetFields(BindingFlags.Public | BindingFlags.Static)
        .Select(field => (OpCode)field.GetValue(null)!)
        .ToDictionary(code => (ushort)code.Value);

    /// <summary>Tokens of types, members and signatures in the order of the instructions.</summary>
    public static IReadOnlyList<EntityHandle> Tokens(BlobReader code)
    {
        var tokens = new List<EntityHandle>();
        while (code.RemainingBytes > 0)
        {
            ushort value = code.ReadByte();
            if (value == 0xFE) value = (ushort)(value << 8 | code.ReadByte());
            switch (Codes[value].OperandType)
            {
                case OperandType.InlineField or OperandType.InlineMethod or OperandType.InlineType or OperandType.InlineTok or OperandType.InlineSig:
                    tokens.Add((EntityHandle)MetadataTokens.Handle(code.ReadInt32()));
                    break;
                case OperandType.InlineSwitch:
                    var targets = code.ReadInt32();
                    code.Offset += 4 * targets;
                    break;
                case var operand:
                    code.Offset += Bytes(operand);
                    break;
            }
        }
        return tokens;
    }

    private static int Bytes(OperandType operand) => operand switch
    {
        OperandType.InlineNone => 0,
        OperandType.ShortInlineBrTarget or OperandType.ShortInlineI or OperandType.ShortInlineVar => 1,
        OperandType.InlineVar => 2,
        OperandType.InlineBrTarget or OperandType.InlineI or OperandType.InlineString or OperandType.ShortInlineR => 4,
        OperandType.InlineI8 or OperandType.InlineR => 8,
        _ => throw new BadImageFormatException($"Unknown operand {operand}."),
    };
}
